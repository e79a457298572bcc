#include "cases/fit/read_fit.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace thawline::cases {

namespace {

std::string place_of(const Entry& entry) {
  const YAML::Mark mark = entry.node().Mark();
  return fmt::format("{}:{}:{}", entry.source().file, mark.line + 1, mark.column + 1);
}

/// Takes the number a path leads to, or the table whose factor it is, as the start.
void read_start(const Entry& of, const PlanPlaces& places, FreeValue& free) {
  const FoundPath found = follow_path(places.tree(), free.path.text());
  if (found.found < found.path.steps.size()) return;  // a key the case does not have yet
  const YAML::Node node = node_at(places.tree(), free.path, free.path.steps.size());
  if (auto table = written_table(node)) {
    free.table = std::move(*table);
    free.path.steps.push_back({"table", 0});
    free.start = 1;
    free.unit = "";
    return;
  }
  const auto number = node.IsScalar() ? written_number(node.Scalar()) : std::nullopt;
  if (!number) {
    of.fail(fmt::format("'{}' holds no single number with a unit, and no table of such",
                        free.path.text()));
  }
  free.start = number->number;
  free.unit = number->unit;
}

void read_bounds(const Entry& entry, const PlanPlaces& places, bool has_start, FreeValue& free) {
  const Entry from = entry.at("from");
  const Entry to = entry.at("to");
  const WrittenNumber low = read_number_at(from);
  if (!has_start) free.unit = low.unit;
  free.from = number_in(from, low, free.unit);
  free.to = number_in(to, read_number_at(to), free.unit);
  if (free.to <= free.from) to.fail("the value at 'to' must be higher than the one at 'from'");
  if (!free.table.empty()) return;
  places.try_value(from, free.path, {from.text(), false});
  places.try_value(to, free.path, {to.text(), false});
}

/// A spread is a difference: of temperatures in kelvin.
double spread_in(const Entry& entry, const std::string& unit) {
  const WrittenNumber number = read_number_at(entry);
  const auto steps = number.unit == unit ? std::optional(1.0) : steps_in(unit, number.unit);
  if (!steps) {
    entry.fail(fmt::format("'{}' does not match the unit '{}' of the value it belongs to",
                           shortened(entry.text()), unit));
  }
  const double spread = number.number / *steps;
  if (spread <= 0) entry.fail(fmt::format("'{}' must be more than 0", shortened(entry.text())));
  return spread;
}

FreeValue read_free(const Entry& entry, PlanPlaces& places) {
  entry.check_keys("free");
  FreeValue free;
  const Entry of = entry.at("of");
  free.place = place_of(of);
  free.path = places.read_own_path(of);
  free.name = places.read_name(entry, free.path.text());
  read_start(of, places, free);
  const bool has_start = !free.table.empty() || free.start != 0 || !free.unit.empty();
  read_bounds(entry, places, has_start, free);
  if (!has_start || free.start < free.from || free.start > free.to) {
    free.start = (free.from + free.to) / 2;
  }
  if (const auto own = entry.find("each_record")) free.each_record = own->on_off();
  if (const auto known = entry.find("known")) {
    known->check_keys("known");
    const Entry mean = known->at("mean");
    free.known = KnownValue{number_in(mean, read_number_at(mean), free.unit),
                            spread_in(known->at("spread"), free.unit)};
  }
  return free;
}

std::size_t record_named(const Entry& entry, const Trial& trial) {
  const std::string word = entry.line();
  std::vector<std::string> names;
  for (const auto& record : trial.records) names.push_back(record.name);
  const auto found = std::find(names.begin(), names.end(), word);
  if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
  const std::string near = nearest(word, names);
  entry.fail(fmt::format("no record is called '{}'; {}", shortened(word),
                         near.empty() ? fmt::format("there are: {}", fmt::join(names, ", "))
                                      : fmt::format("did you mean '{}'?", near)));
}

std::size_t limit_named(const Entry& entry, const Case& c) {
  const std::string word = entry.line();
  std::vector<std::string> names;
  for (const auto& limit : c.limits) names.push_back(limit.name);
  const auto found = std::find(names.begin(), names.end(), word);
  if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
  const std::string near = nearest(word, names);
  entry.fail(fmt::format("the case has no limit named '{}'{}", shortened(word),
                         near.empty() ? "" : fmt::format("; did you mean '{}'?", near)));
}

/// What stands at a path in a record: its own setting, else what the case says.
WrittenValue value_in(const TestRecord& record, const CasePath& path, const YAML::Node& tree,
                      const Entry& of) {
  for (const auto& setting : record.settings) {
    if (setting.path.text() == path.text()) return setting.value;
  }
  const FoundPath found = follow_path(tree, path.text());
  if (found.found < found.path.steps.size()) {
    of.fail(fmt::format("neither the case nor the record '{}' says what '{}' is",
                        shortened(record.name), path.text()));
  }
  const YAML::Node node = node_at(tree, path, path.steps.size());
  if (node.IsScalar()) return {node.Scalar(), false};
  return {flow_yaml(node), true};
}

}  // namespace

FitWish read_fit(const Entry& entry, PlanPlaces& places) {
  entry.check_keys("fit");
  FitWish fit;
  const Entry free = entry.at("free");
  need_list(free);
  for (const auto& item : free.items()) fit.free.push_back(read_free(item, places));
  if (const auto starts = entry.find("starts")) fit.starts = starts->whole_number(1, 100);
  return fit;
}

VerdictWish read_verdict(const Entry& entry, PlanPlaces& places, const Trial& trial) {
  entry.check_keys("verdict");
  VerdictWish verdict;
  const Entry between = entry.at("between");
  if (!between.is_list() || between.items().size() != 2) {
    between.fail("the names of two records are expected here, as in [gel, ice]");
  }
  verdict.first = record_named(between.items()[0], trial);
  verdict.second = record_named(between.items()[1], trial);
  if (verdict.first == verdict.second) between.fail("names one record twice");
  const Case c = places.read_with(trial.records[verdict.first].settings);
  if (c.limits.empty()) entry.fail("the case has no limit to judge hold times by");
  if (const auto limit = entry.find("limit")) {
    verdict.limit = limit_named(*limit, c);
  } else if (c.limits.size() > 1) {
    entry.fail("the case has several limits; say which with 'limit:'");
  }
  for (const auto& of : entry.at("coolant").items()) {
    const CasePath path = places.read_path(of);
    verdict.of_first.push_back(value_in(trial.records[verdict.first], path, places.tree(), of));
    verdict.coolant.push_back(path);
  }
  return verdict;
}

}  // namespace thawline::cases
