#include "cases/read_vary.hpp"

#include <fmt/format.h>

#include <set>

namespace thawline::cases {

namespace {

std::vector<WrittenValue> read_values(const Entry& list, const CasePath& path,
                                      const PlanPlaces& places) {
  if (!list.is_list()) list.fail("a list is expected here, as in [20 mm, 30 mm]");
  std::vector<WrittenValue> values;
  std::set<std::string> tried;
  for (const auto& item : list.items()) {
    values.push_back(written_value(item));
    // Numbers in the same unit read alike.
    const auto number = values.back().yaml ? std::nullopt : written_number(values.back().text);
    const std::string form = number ? " " + number->unit : values.back().text;
    if (tried.insert(form).second) places.try_value(item, path, values.back());
  }
  return values;
}

/// The unit of the first value when all are numbers in units that match.
std::optional<std::string> common_unit(const std::vector<WrittenValue>& values) {
  std::optional<std::string> unit;
  for (const auto& value : values) {
    const auto number = value.yaml ? std::nullopt : written_number(value.text);
    if (!number) return std::nullopt;
    if (!unit) unit = number->unit;
    if (number->unit != *unit && !steps_in(number->unit, *unit)) return std::nullopt;
  }
  return unit;
}

EvenRange read_range(const Entry& entry, const PlanPlaces& places, Varied& varied) {
  const Entry from = entry.at("from");
  const Entry to = entry.at("to");
  const WrittenNumber first = read_number_at(from);
  places.try_value(from, varied.path, {from.text(), false});
  const double last = number_in(to, read_number_at(to), first.unit);
  if (first.number == last) to.fail("equals 'from'; a range needs two different ends");
  varied.unit = first.unit;
  const int steps = entry.at("steps").whole_number(2, static_cast<int>(most_cases));
  return {first.number, last, static_cast<std::uint64_t>(steps)};
}

Varied read_varied(const Entry& entry, PlanPlaces& places) {
  entry.check_known({"varied_values", "varied_range"});
  const bool listed = entry.has("values");
  if (!listed && !entry.has("from"))
    entry.fail("needs either 'values' or 'from', 'to' and 'steps'");
  entry.check_keys(listed ? "varied_values" : "varied_range");
  Varied varied;
  varied.path = places.read_own_path(entry.at("of"));
  varied.name = places.read_name(entry, varied.path.text());
  if (listed) {
    auto values = read_values(entry.at("values"), varied.path, places);
    varied.unit = common_unit(values);
    varied.values = std::move(values);
  } else {
    varied.values = read_range(entry, places, varied);
  }
  return varied;
}

Together read_together(const Entry& entry, PlanPlaces& places) {
  entry.check_keys("together");
  const Entry inner = entry.at("together");
  if (!inner.is_list() || inner.items().size() < 2) {
    inner.fail("at least two entries are expected here, as they step together");
  }
  Together together;
  for (const auto& item : inner.items()) {
    together.push_back(read_varied(item, places));
    const std::uint64_t steps = steps_of({together.back()});
    if (steps != steps_of(together)) {
      item.fail(fmt::format("has {} values and the first of those it steps with has {}", steps,
                            steps_of(together)));
    }
  }
  return together;
}

}  // namespace

void read_vary(const Entry& list, PlanPlaces& places, Plan& plan) {
  need_list(list);
  for (const auto& item : list.items()) {
    item.check_known({"varied_values", "varied_range", "together"});
    plan.vary.push_back(item.has("together") ? read_together(item, places)
                                             : Together{read_varied(item, places)});
    check_count(item, plan);
  }
}

}  // namespace thawline::cases
