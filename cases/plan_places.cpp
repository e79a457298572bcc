#include "cases/plan_places.hpp"

#include <fmt/format.h>

#include <filesystem>

#include "cases/suggestions.hpp"

namespace thawline::cases {

namespace fs = std::filesystem;

PlanPlaces::PlanPlaces(const Entry& case_name, const std::string& material_folder, ReadPlan& out)
    : material_folder_(material_folder), out_(out) {
  const fs::path file =
      (fs::path(case_name.source().file).parent_path() / case_name.line()).lexically_normal();
  std::error_code error;
  if (!fs::exists(file, error)) {
    case_name.fail(fmt::format("there is no file '{}'", shortened(file.string())));
  }
  out_.plan.base = read_named_file(file.string(), most_case_bytes);
  base_.emplace(out_.plan.base, out_.plan.taken);
  out_.base = read_with({});
}

void PlanPlaces::take_material(const Entry& of, const std::string& words) {
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
    const std::string near = material_meant(name, known);
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
void PlanPlaces::check_missing_key(const Entry& of, const FoundPath& found) const {
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

CasePath PlanPlaces::read_path(const Entry& of) {
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

CasePath PlanPlaces::read_own_path(const Entry& of) {
  CasePath path = read_path(of);
  refuse_overlap(of, path, own_);
  own_.push_back(path);
  return path;
}

std::string PlanPlaces::read_name(const Entry& entry, const std::string& without) {
  const auto given = entry.find("name");
  return given ? take_name(*given, given->line()) : take_name(entry, without);
}

std::string PlanPlaces::take_name(const Entry& at, const std::string& name) {
  if (!names_.insert(name).second) {
    at.fail(fmt::format("two inputs are called '{}'; give one its own 'name'", shortened(name)));
  }
  return name;
}

void PlanPlaces::try_value(const Entry& entry, const CasePath& path,
                           const WrittenValue& value) const {
  try {
    (void)read_with({{path, value}});
  } catch (const InputError& error) {
    if (error.mistake() != Mistake::value && error.sentence().starts_with(path.text())) {
      entry.fail(error.sentence());
    }
  }
}

void refuse_overlap(const Entry& of, const CasePath& path, const std::vector<CasePath>& others) {
  for (const auto& other : others) {
    if (!path.holds(other) && !other.holds(path)) continue;
    of.fail(path.holds(other) && other.holds(path)
                ? fmt::format("'{}' stands in this plan already", path.text())
                : fmt::format("'{}' and '{}' lie one inside the other", path.text(), other.text()));
  }
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

void need_list(const Entry& entry) {
  if (!entry.is_list()) entry.fail("a list is expected here, each entry with '- ' before it");
}

void check_count(const Entry& last, const Plan& plan) {
  double count = static_cast<double>(samples_of(plan) * contenders_of(plan));
  for (const auto& together : plan.vary) count *= static_cast<double>(steps_of(together));
  if (count > static_cast<double>(most_cases)) {
    last.fail(fmt::format("with this the plan asks for {:.15g} cases; at most {} are computed",
                          count, most_cases));
  }
}

}  // namespace thawline::cases
