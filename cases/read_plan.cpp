#include "cases/read_plan.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <optional>
#include <set>

#include "cases/entry.hpp"
#include "cases/read_trace.hpp"

namespace thawline::cases {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_plan_bytes = 4U << 20U;

/// Reads the entries of one plan against its base case.
class PlanReader {
 public:
  PlanReader(const Entry& root, const std::string& material_folder, ReadPlan& out)
      : root_(root), material_folder_(material_folder), out_(out) {}

  void read();

 private:
  void read_base();
  void read_vary(const Entry& list);
  [[nodiscard]] Varied read_varied(const Entry& entry);
  [[nodiscard]] std::vector<WrittenValue> read_values(const Entry& list, const CasePath& path);
  [[nodiscard]] EvenRange read_range(const Entry& entry, Varied& varied);
  void read_tolerances(const Entry& entry);
  [[nodiscard]] Tolerance read_tolerance(const Entry& entry);
  void read_centre(const Entry& entry, Tolerance& tolerance);
  [[nodiscard]] double read_spread(const Entry& spread, const Tolerance& tolerance, bool& share);
  [[nodiscard]] Between read_between(const Entry& ends, Tolerance& tolerance);
  void check_count(const Entry& last) const;
  void take_traces();

  [[nodiscard]] CasePath read_path(const Entry& of);
  void take_material(const Entry& of, const std::string& words);
  void check_missing_key(const Entry& of, const FoundPath& found) const;
  void refuse_overlap(const Entry& of, const CasePath& path,
                      const std::vector<CasePath>& others) const;
  [[nodiscard]] std::string read_name(const Entry& entry, const std::string& without);
  void try_value(const Entry& entry, const CasePath& path, const WrittenValue& value) const;

  const Entry& root_;
  const std::string& material_folder_;
  ReadPlan& out_;
  std::optional<BaseCase> base_;
  std::vector<CasePath> varied_;
  std::vector<const Varied*> varied_places_;
  std::vector<CasePath> uncertain_;
  std::set<std::string> names_;
};

std::string flow_yaml(const YAML::Node& node) {
  YAML::Emitter out;
  out.SetSeqFormat(YAML::Flow);
  out.SetMapFormat(YAML::Flow);
  out << node;
  return out.c_str();
}

WrittenValue written_value(const Entry& entry) {
  if (entry.is_text()) return {entry.text(), false};
  if (!entry.is_map() && !entry.is_list()) entry.fail("is empty; a value is expected here");
  return {flow_yaml(entry.node()), true};
}

/// All files named by a key `trace` in a tree.
void find_traces(const YAML::Node& node, std::set<std::string>& names) {
  if (!node.IsMap() && !node.IsSequence()) return;
  for (const auto& child : node) {
    if (node.IsSequence()) {
      find_traces(child, names);
    } else if (child.first.Scalar() == "trace" && child.second.IsScalar()) {
      names.insert(child.second.Scalar());
    } else {
      find_traces(child.second, names);
    }
  }
}

void PlanReader::read_base() {
  const Entry name = root_.at("case");
  const fs::path file =
      (fs::path(root_.source().file).parent_path() / name.text()).lexically_normal();
  std::error_code error;
  if (!fs::exists(file, error)) {
    name.fail(fmt::format("there is no file '{}'", shortened(file.string())));
  }
  out_.plan.base = read_text_file(file.string(), most_case_bytes);
  base_.emplace(out_.plan.base, out_.plan.taken);
  out_.base = base_->read_with({}, out_.library);
}

void PlanReader::take_material(const Entry& of, const std::string& words) {
  const std::string start = "materials.";
  if (words.substr(0, start.size()) != start) return;
  const auto end = words.find_first_of(".[", start.size());
  const std::string name = words.substr(start.size(), end - start.size());
  const YAML::Node& tree = base_->tree();
  const YAML::Node own = tree["materials"];
  if (own.IsDefined() && own.IsMap() && own[name].IsDefined()) return;
  const std::string text = material_as_written(material_folder_, name);
  if (text.empty()) {
    std::vector<std::string> known;
    for (const auto& [material, entry] : out_.library.materials) known.push_back(material);
    const std::string near = nearest(name, known);
    of.fail(
        near.empty()
            ? fmt::format("no material is called '{}'; 'thawline materials' lists them",
                          shortened(name))
            : fmt::format("no material is called '{}'; did you mean '{}'?", shortened(name), near));
  }
  out_.plan.taken.push_back(text);
  base_.emplace(out_.plan.base, out_.plan.taken);
}

/// A key the base case has not got may yet be one the reader knows, and then the last of a path.
void PlanReader::check_missing_key(const Entry& of, const FoundPath& found) const {
  CasePath missing = found.path;
  missing.steps.resize(found.found + 1);
  try {
    (void)base_->read_with({{missing, {"{}", true}}}, out_.library);
  } catch (const InputError& error) {
    if (error.mistake() == Mistake::key) of.fail(error.sentence());
  }
  if (found.path.steps.size() == missing.steps.size()) return;
  of.fail(
      fmt::format("the base case has no '{}'; give it there first, or put all of it in its place",
                  missing.text()));
}

CasePath PlanReader::read_path(const Entry& of) {
  const std::string words = of.text();
  take_material(of, words);
  const FoundPath found = follow_path(base_->tree(), words);
  if (!found.problem.empty()) of.fail(found.problem);
  if (found.found < found.path.steps.size()) check_missing_key(of, found);
  CasePath path = found.path;
  // `conductivity: {value: 0.035 W/m/K, source: ...}`: the value is meant.
  if (found.found == path.steps.size()) {
    const YAML::Node node = node_at(base_->tree(), path, path.steps.size());
    if (node.IsMap() && node["value"].IsDefined() && node["source"].IsDefined()) {
      path.steps.push_back({"value", 0});
    }
  }
  return path;
}

void PlanReader::refuse_overlap(const Entry& of, const CasePath& path,
                                const std::vector<CasePath>& others) const {
  for (const auto& other : others) {
    if (!path.holds(other) && !other.holds(path)) continue;
    of.fail(path.holds(other) && other.holds(path)
                ? fmt::format("'{}' stands in this plan already", path.text())
                : fmt::format("'{}' and '{}' lie one inside the other", path.text(), other.text()));
  }
}

std::string PlanReader::read_name(const Entry& entry, const std::string& without) {
  const auto given = entry.find("name");
  std::string name = given ? given->text() : without;
  if (!names_.insert(name).second) {
    (given ? *given : entry)
        .fail(fmt::format("two inputs are called '{}'; give one its own 'name'", shortened(name)));
  }
  return name;
}

/// Refuses a value the reader cannot make out at this place. Out of range is no matter here: that
/// fails the case alone.
void PlanReader::try_value(const Entry& entry, const CasePath& path,
                           const WrittenValue& value) const {
  try {
    (void)base_->read_with({{path, value}}, out_.library);
  } catch (const InputError& error) {
    if (error.mistake() != Mistake::value && error.sentence().starts_with(path.text())) {
      entry.fail(error.sentence());
    }
  }
}

std::vector<WrittenValue> PlanReader::read_values(const Entry& list, const CasePath& path) {
  if (!list.is_list()) list.fail("a list is expected here, as in [20 mm, 30 mm]");
  std::vector<WrittenValue> values;
  std::set<std::string> tried;
  for (const auto& item : list.items()) {
    values.push_back(written_value(item));
    // Numbers in the same unit read alike.
    const auto number = values.back().yaml ? std::nullopt : written_number(values.back().text);
    const std::string form = number ? " " + number->unit : values.back().text;
    if (tried.insert(form).second) try_value(item, path, values.back());
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

WrittenNumber read_number_at(const Entry& entry) {
  const auto number = written_number(entry.text());
  if (!number) {
    entry.fail(
        fmt::format("'{}' is not a number with a known unit, such as '30 mm', or a plain one",
                    shortened(entry.text())));
  }
  return *number;
}

/// The number in another unit; a unit that does not match is told at `entry`.
double number_in(const Entry& entry, const WrittenNumber& number, const std::string& unit) {
  if (number.unit == unit) return number.number;
  if (!steps_in(number.unit, unit)) {
    entry.fail(fmt::format("'{}' does not match the unit '{}'", shortened(entry.text()), unit));
  }
  return *convert(number.number, number.unit, unit);
}

EvenRange PlanReader::read_range(const Entry& entry, Varied& varied) {
  const Entry from = entry.at("from");
  const Entry to = entry.at("to");
  const WrittenNumber first = read_number_at(from);
  try_value(from, varied.path, {from.text(), false});
  const double last = number_in(to, read_number_at(to), first.unit);
  if (first.number == last) to.fail("equals 'from'; a range needs two different ends");
  varied.unit = first.unit;
  const int steps = entry.at("steps").whole_number(2, static_cast<int>(most_cases));
  return {first.number, last, static_cast<std::uint64_t>(steps)};
}

Varied PlanReader::read_varied(const Entry& entry) {
  entry.check_known({"varied_values", "varied_range"});
  const bool listed = entry.has("values");
  if (!listed && !entry.has("from"))
    entry.fail("needs either 'values' or 'from', 'to' and 'steps'");
  entry.check_keys(listed ? "varied_values" : "varied_range");
  Varied varied;
  const Entry of = entry.at("of");
  varied.path = read_path(of);
  refuse_overlap(of, varied.path, varied_);
  varied_.push_back(varied.path);
  varied.name = read_name(entry, varied.path.text());
  if (listed) {
    auto values = read_values(entry.at("values"), varied.path);
    varied.unit = common_unit(values);
    varied.values = std::move(values);
  } else {
    varied.values = read_range(entry, varied);
  }
  return varied;
}

void PlanReader::read_vary(const Entry& list) {
  if (!list.is_list()) list.fail("a list is expected here, each entry with '- ' before it");
  for (const auto& item : list.items()) {
    Together together;
    item.check_known({"varied_values", "varied_range", "together"});
    if (!item.has("together")) {
      together.push_back(read_varied(item));
    } else {
      item.check_keys("together");
      const Entry inner = item.at("together");
      if (!inner.is_list() || inner.items().size() < 2) {
        inner.fail("at least two entries are expected here, as they step together");
      }
      for (const auto& entry : inner.items()) {
        together.push_back(read_varied(entry));
        const std::uint64_t steps = steps_of({together.back()});
        if (steps != steps_of(together)) {
          entry.fail(fmt::format("has {} values and the first of those it steps with has {}", steps,
                                 steps_of(together)));
        }
      }
    }
    out_.plan.vary.push_back(std::move(together));
    check_count(item);
  }
  for (const auto& together : out_.plan.vary) {
    for (const auto& varied : together) varied_places_.push_back(&varied);
  }
}

void PlanReader::check_count(const Entry& last) const {
  double count = static_cast<double>(samples_of(out_.plan));
  for (const auto& together : out_.plan.vary) count *= static_cast<double>(steps_of(together));
  if (count > static_cast<double>(most_cases)) {
    last.fail(fmt::format("with this the plan asks for {:.15g} cases; at most {} are computed",
                          count, most_cases));
  }
}

/// The value a tolerance lies around: that of the base case, or of the varied place it shares.
void PlanReader::read_centre(const Entry& entry, Tolerance& tolerance) {
  const Entry of = entry.at("of");
  for (std::size_t i = 0; i < varied_.size(); ++i) {
    if (!varied_[i].holds(tolerance.path) || !tolerance.path.holds(varied_[i])) continue;
    if (!varied_places_[i]->unit) {
      of.fail(fmt::format("'{}' is varied over texts; a tolerance needs numbers",
                          tolerance.path.text()));
    }
    tolerance.around = i;
    tolerance.unit = *varied_places_[i]->unit;
    return;
  }
  const FoundPath found = follow_path(base_->tree(), tolerance.path.text());
  if (found.found < found.path.steps.size()) {
    of.fail(fmt::format("the base case has no '{}' to lie around; use 'between'",
                        tolerance.path.text()));
  }
  const YAML::Node node = node_at(base_->tree(), tolerance.path, tolerance.path.steps.size());
  const auto number = node.IsScalar() ? written_number(node.Scalar()) : std::nullopt;
  if (!number) {
    of.fail(fmt::format("'{}' holds no single number with a unit; a tolerance needs one",
                        tolerance.path.text()));
  }
  tolerance.centre = number->number;
  tolerance.unit = number->unit;
}

double PlanReader::read_spread(const Entry& spread, const Tolerance& tolerance, bool& share) {
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

Between PlanReader::read_between(const Entry& ends, Tolerance& tolerance) {
  if (!ends.is_list() || ends.items().size() != 2) {
    ends.fail("two values are expected here, as in [0.033 W/m/K, 0.040 W/m/K]");
  }
  const auto items = ends.items();
  const WrittenNumber low = read_number_at(items[0]);
  try_value(items[0], tolerance.path, {items[0].text(), false});
  const double high = number_in(items[1], read_number_at(items[1]), low.unit);
  if (high <= low.number) items[1].fail("the second value must be the higher one");
  tolerance.unit = low.unit;
  return {low.number, high};
}

Tolerance PlanReader::read_tolerance(const Entry& entry) {
  entry.check_known({"normal", "within", "between"});
  Tolerance tolerance;
  const Entry of = entry.at("of");
  tolerance.path = read_path(of);
  refuse_overlap(of, tolerance.path, uncertain_);
  uncertain_.push_back(tolerance.path);
  std::vector<CasePath> others = varied_;
  std::erase_if(others, [&](const CasePath& path) {
    return path.holds(tolerance.path) && tolerance.path.holds(path);
  });
  const bool varied = others.size() < varied_.size();
  refuse_overlap(of, tolerance.path, others);
  tolerance.name =
      read_name(entry, varied ? tolerance.path.text() + " drawn" : tolerance.path.text());
  const auto spreads = {"normal", "within", "between"};
  const auto given = std::count_if(spreads.begin(), spreads.end(),
                                   [&entry](const char* key) { return entry.has(key); });
  if (given != 1) entry.fail("needs one of 'normal', 'within' and 'between'");
  if (const auto between = entry.find("between")) {
    if (varied)
      between->fail("this place is varied too; use 'normal' or 'within' around its values");
    tolerance.spread = read_between(*between, tolerance);
    return tolerance;
  }
  read_centre(entry, tolerance);
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

void PlanReader::read_tolerances(const Entry& entry) {
  entry.check_keys("tolerances");
  Tolerances tolerances;
  const Entry samples = entry.at("samples");
  tolerances.samples =
      static_cast<std::uint64_t>(samples.whole_number(1, static_cast<int>(most_cases)));
  if (const auto seed = entry.find("seed")) {
    tolerances.seed = static_cast<std::uint64_t>(seed->whole_number(0, 2'000'000'000));
  }
  const Entry inputs = entry.at("inputs");
  if (!inputs.is_list()) inputs.fail("a list is expected here, each entry with '- ' before it");
  for (const auto& item : inputs.items()) tolerances.inputs.push_back(read_tolerance(item));
  out_.plan.tolerances = std::move(tolerances);
  check_count(samples);
}

/// Reads every trace the plan's cases may name that can be read; others fail their cases.
void PlanReader::take_traces() {
  std::set<std::string> names;
  find_traces(base_->tree(), names);
  for (const auto* varied : varied_places_) {
    const auto* values = std::get_if<std::vector<WrittenValue>>(&varied->values);
    if (values == nullptr) continue;
    for (const auto& value : *values) {
      if (value.yaml) find_traces(YAML::Load(value.text), names);
      if (!value.yaml && varied->path.steps.back().key == "trace") names.insert(value.text);
    }
  }
  for (const auto& name : names) {
    const std::string file = (fs::path(out_.plan.base.file).parent_path() / name).string();
    out_.library.traces[file] = read_trace(file);
    out_.plan.trace_files.push_back(file);
  }
}

void PlanReader::read() {
  root_.check_keys("plan");
  out_.plan.title = root_.at("title").text();
  out_.plan.file = root_.source().file;
  out_.plan.text = root_.source().text;
  const auto vary = root_.find("vary");
  const auto tolerances = root_.find("tolerances");
  if (!vary && !tolerances) root_.fail("needs 'vary', 'tolerances' or both");
  if (const auto histories = root_.find("histories")) {
    out_.plan.keep_histories = histories->one_of({"keep", "none"}) == "keep";
  }
  read_base();
  if (vary) read_vary(*vary);
  if (tolerances) read_tolerances(*tolerances);
  take_traces();
}

}  // namespace

ReadPlan read_plan(const std::string& file, const std::string& material_folder) {
  ReadPlan out;
  out.library.materials = read_material_folder(material_folder);
  const SourceText source = read_text_file(file, most_plan_bytes);
  const Entry root = parse_yaml(source);
  PlanReader(root, material_folder, out).read();
  return out;
}

}  // namespace thawline::cases
