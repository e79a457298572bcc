#include "cases/read_tolerances.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <string_view>
#include <utility>
#include <vector>

namespace thawline::cases {

namespace {

bool same(const CasePath& a, const CasePath& b) { return a.holds(b) && b.holds(a); }

/// The value a tolerance lies around: that of the base case, or of the varied place it shares; 1
/// for the factor on a table.
void read_centre(const Entry& entry, const PlanPlaces& places, const Plan& plan,
                 Tolerance& tolerance) {
  const Entry of = entry.at("of");
  const auto varied = varied_places(plan);
  for (std::size_t i = 0; i < varied.size(); ++i) {
    if (!same(varied[i]->path, tolerance.path)) continue;
    if (!varied[i]->unit) {
      of.fail(fmt::format("'{}' is varied over texts; a tolerance needs numbers",
                          tolerance.path.text()));
    }
    tolerance.around = i;
    tolerance.unit = *varied[i]->unit;
    return;
  }
  const FoundPath found = follow_path(places.tree(), tolerance.path.text());
  if (found.found < found.path.steps.size()) {
    of.fail(fmt::format("the base case has no '{}' to lie around; use 'between'",
                        tolerance.path.text()));
  }
  const YAML::Node node = node_at(places.tree(), tolerance.path, tolerance.path.steps.size());
  if (auto table = written_table(node)) {
    tolerance.table = std::move(*table);
    tolerance.path.steps.push_back({"table", 0});
    tolerance.centre = 1;
    return;
  }
  const auto number = node.IsScalar() ? written_number(node.Scalar()) : std::nullopt;
  if (!number) {
    of.fail(
        fmt::format("'{}' holds no single number with a unit, and no table of such; a "
                    "tolerance needs one",
                    tolerance.path.text()));
  }
  tolerance.centre = number->number;
  tolerance.unit = number->unit;
}

double read_spread(const Entry& spread, const Tolerance& tolerance, bool& share) {
  const WrittenNumber number = read_number_at(spread);
  double value = number.number;
  const bool temperature = has_shifted_zero(tolerance.unit);
  if (number.unit == "%") {
    if (temperature)
      spread.fail("a share of a temperature in degrees means nothing; write it in K");
    share = true;
    value /= 100;
  } else {
    if (has_shifted_zero(number.unit)) {
      spread.fail(
          fmt::format("'{}' is a temperature; a difference is written in kelvin, like '2 K'",
                      shortened(spread.text())));
    }
    if (!tolerance.table.empty()) {
      spread.fail("a table is multiplied as a whole; write a share of it, like '5 %'");
    }
    const auto steps = steps_in(tolerance.unit, number.unit);
    if (!steps) {
      spread.fail(fmt::format("'{}' does not match the unit '{}' of the value it lies around",
                              shortened(spread.text()), tolerance.unit));
    }
    value /= *steps;
  }
  if (value <= 0) spread.fail(fmt::format("'{}' must be more than 0", shortened(spread.text())));
  return value;
}

Between read_between(const Entry& ends, const PlanPlaces& places, Tolerance& tolerance) {
  if (!ends.is_list() || ends.items().size() != 2) {
    ends.fail("two values are expected here, as in [0.033 W/m/K, 0.040 W/m/K]");
  }
  const auto items = ends.items();
  const WrittenNumber low = read_number_at(items[0]);
  places.try_value(items[0], tolerance.path, {items[0].text(), false});
  const double high = number_in(items[1], read_number_at(items[1]), low.unit);
  if (high <= low.number) items[1].fail("the second value must be the higher one");
  tolerance.unit = low.unit;
  return {low.number, high};
}

/// True when the place varies from row to row too; it may then lie inside or around no other.
bool is_varied(const Entry& of, const CasePath& path, const PlanPlaces& places, const Plan& plan) {
  const auto varied = varied_places(plan);
  const bool found = std::any_of(varied.begin(), varied.end(),
                                 [&path](const Varied* place) { return same(place->path, path); });
  std::vector<CasePath> others = places.own();
  if (found) std::erase_if(others, [&path](const CasePath& other) { return same(other, path); });
  refuse_overlap(of, path, others);
  return found;
}

Tolerance read_tolerance(const Entry& entry, PlanPlaces& places, const Plan& plan,
                         std::vector<CasePath>& uncertain) {
  entry.check_known({"normal", "within", "between"});
  Tolerance tolerance;
  const Entry of = entry.at("of");
  tolerance.path = places.read_path(of);
  refuse_overlap(of, tolerance.path, uncertain);
  uncertain.push_back(tolerance.path);
  const bool varied = is_varied(of, tolerance.path, places, plan);
  tolerance.name =
      places.read_name(entry, varied ? tolerance.path.text() + " drawn" : tolerance.path.text());
  const auto spreads = {"normal", "within", "between"};
  const auto given = std::count_if(spreads.begin(), spreads.end(),
                                   [&entry](const char* key) { return entry.has(key); });
  if (given != 1) entry.fail("needs one of 'normal', 'within' and 'between'");
  if (const auto between = entry.find("between")) {
    if (varied)
      between->fail("this place is varied too; use 'normal' or 'within' around its values");
    tolerance.spread = read_between(*between, places, tolerance);
    return tolerance;
  }
  read_centre(entry, places, plan, tolerance);
  bool share = false;
  if (const auto normal = entry.find("normal")) {
    const double deviation = read_spread(*normal, tolerance, share);
    tolerance.spread = NormalSpread{deviation, share};
  } else {
    const double half_width = read_spread(entry.at("within"), tolerance, share);
    tolerance.spread = EvenSpread{half_width, share};
  }
  return tolerance;
}

/// The place of one fitted value in the case of the plan, which may be another than the fit's.
Tolerance fitted_place(const Entry& name, const std::string& words, PlanPlaces& places) {
  constexpr std::string_view table = ".table";
  const bool scales = words.ends_with(table);
  const std::string of = scales ? words.substr(0, words.size() - table.size()) : words;
  const YAML::Node scalar(of);
  Tolerance out;
  try {
    out.path = places.read_path(Entry(scalar, name.path(), name.source()));
  } catch (const InputError& error) {
    name.fail(error.sentence());
  }
  if (!scales) return out;
  const FoundPath found = follow_path(places.tree(), out.path.text());
  auto rows = found.found == found.path.steps.size()
                  ? written_table(node_at(places.tree(), out.path, out.path.steps.size()))
                  : std::nullopt;
  if (!rows) name.fail(fmt::format("the fit scaled a table at '{}', and the case has none", of));
  out.table = std::move(*rows);
  out.path.steps.push_back({"table", 0});
  return out;
}

/// What a fit learnt of the case, drawn together; a record's own values and offsets are of no use
/// here.
FittedDraw read_fitted_draw(const Entry& name, const FittedReader& reader, PlanPlaces& places,
                            std::vector<CasePath>& uncertain) {
  namespace fs = std::filesystem;
  const fs::path file = fs::path(name.source().file).parent_path() / name.line();
  std::error_code error;
  if (!reader || !fs::exists(file, error)) {
    name.fail(fmt::format("there is no file '{}'", shortened(file.string())));
  }
  const FittedValues values = reader(file.string());
  FittedDraw out;
  out.file = file.string();
  for (std::size_t i = 0; i < values.names.size(); ++i) {
    if (values.shared[i] == 0) continue;
    Tolerance place = fitted_place(name, values.paths[i], places);
    refuse_overlap(name, place.path, uncertain);
    refuse_overlap(name, place.path, places.own());
    uncertain.push_back(place.path);
    place.name = places.take_name(name, values.names[i]);
    place.unit = values.units[i];
    out.values.push_back(std::move(place));
    out.logarithmic.push_back(values.logarithmic[i]);
    out.centre.push_back(values.centre[i]);
    out.from.push_back(values.from[i]);
    out.to.push_back(values.to[i]);
    out.root.push_back(values.root[i]);
  }
  if (out.values.empty()) name.fail("holds no value that all its records share");
  return out;
}

}  // namespace

void read_tolerances(const Entry& entry, const FittedReader& fitted, PlanPlaces& places,
                     Plan& plan) {
  entry.check_keys("tolerances");
  Tolerances tolerances;
  const Entry samples = entry.at("samples");
  tolerances.samples =
      static_cast<std::uint64_t>(samples.whole_number(1, static_cast<int>(most_cases)));
  if (const auto seed = entry.find("seed")) {
    tolerances.seed = static_cast<std::uint64_t>(seed->whole_number(0, 2'000'000'000));
  }
  if (const auto ranking = entry.find("ranking")) {
    tolerances.ranking = ranking->on_off();
    if (tolerances.ranking && plan.find) {
      ranking->fail(
          "inputs are ranked for the hold time, which 'find' gives; take one of them out");
    }
  }
  const auto inputs = entry.find("inputs");
  const auto from_fit = entry.find("fitted");
  if (!inputs && !from_fit) entry.fail("needs 'inputs', 'fitted' or both");
  std::vector<CasePath> uncertain;
  if (inputs) {
    need_list(*inputs);
    for (const auto& item : inputs->items()) {
      tolerances.inputs.push_back(read_tolerance(item, places, plan, uncertain));
    }
  }
  if (from_fit) {
    if (tolerances.ranking) {
      from_fit->fail("values that were fitted hang together and cannot be ranked one by one");
    }
    tolerances.fitted = read_fitted_draw(*from_fit, fitted, places, uncertain);
    plan.trace_files.push_back(tolerances.fitted->file);
  }
  plan.tolerances = std::move(tolerances);
  check_count(samples, plan);
}

}  // namespace thawline::cases
