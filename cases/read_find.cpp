#include "cases/read_find.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

namespace thawline::cases {

namespace {

/// The index of the limit an entry names; the only one where none is named.
std::size_t read_limit_name(const Entry& entry, const Case& base) {
  std::vector<std::string> names;
  for (const auto& limit : base.limits) names.push_back(limit.name);
  if (names.empty()) entry.fail("the base case has no limit that could hold for a time");
  const auto given = entry.find("limit");
  if (!given) {
    if (names.size() == 1) return 0;
    entry.fail(
        fmt::format("the key 'limit' is missing; the base case has {}", fmt::join(names, ", ")));
  }
  const std::string word = given->text();
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (names[i] == word) return i;
  }
  const std::string near = nearest(word, names);
  given->fail(near.empty() ? fmt::format("no limit is called '{}'; there are {}", shortened(word),
                                         fmt::join(names, ", "))
                           : fmt::format("no limit is called '{}'; did you mean '{}'?",
                                         shortened(word), near));
}

double read_to_within(const Entry& entry, const Sought& sought) {
  const auto given = entry.find("to_within");
  const double range = std::abs(sought.to - sought.from);
  if (!given) return range / 10000;
  const WrittenNumber number = read_number_at(*given);
  const auto steps = steps_in(sought.unit, number.unit);
  if (has_shifted_zero(number.unit) || !steps) {
    given->fail(fmt::format("'{}' is no difference in the unit '{}' of the value sought",
                            shortened(given->text()), sought.unit));
  }
  const double within = number.number / *steps;
  if (within <= 0) given->fail(fmt::format("'{}' must be more than 0", shortened(given->text())));
  if (within > range / 10) {
    given->fail(fmt::format("'{}' is more than a tenth of the range", shortened(given->text())));
  }
  return within;
}

/// The run's length follows from the wanted hold time.
void refuse_varied_duration(const Entry& entry, const PlanPlaces& places) {
  const CasePath duration{{{"run", 0}, {"duration", 0}}};
  for (const auto& path : places.own()) {
    if (!path.holds(duration)) continue;
    entry.fail(
        fmt::format("sets the length of the run itself; take '{}' out of this plan", path.text()));
  }
}

}  // namespace

void read_find(const Entry& entry, const Case& base, PlanPlaces& places, Plan& plan) {
  entry.check_keys("find");
  Sought sought;
  sought.path = places.read_own_path(entry.at("of"));
  refuse_varied_duration(entry, places);
  sought.name = places.read_name(entry, sought.path.text());
  const Entry from = entry.at("from");
  const Entry to = entry.at("to");
  const WrittenNumber first = read_number_at(from);
  places.try_value(from, sought.path, {from.text(), false});
  sought.unit = first.unit;
  sought.from = first.number;
  sought.to = number_in(to, read_number_at(to), first.unit);
  if (sought.from == sought.to) to.fail("equals 'from'; a range needs two different ends");
  sought.to_within = read_to_within(entry, sought);
  sought.limit = read_limit_name(entry, base);
  sought.hold = entry.at("hold").quantity(dimension::time, {1, longest_hold});
  plan.find = std::move(sought);
}

}  // namespace thawline::cases
