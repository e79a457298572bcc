#include "cases/read_plan.hpp"

#include <filesystem>
#include <map>
#include <utility>

#include "cases/plan_detail.hpp"
#include "cases/plan_places.hpp"
#include "cases/read_compare.hpp"
#include "cases/read_find.hpp"
#include "cases/read_tolerances.hpp"
#include "cases/read_trace.hpp"
#include "cases/read_vary.hpp"

namespace thawline::cases {

namespace {

constexpr std::size_t most_plan_bytes = 4U << 20U;

using TraceChoices = std::map<std::string, std::vector<RecordChoice>>;

std::string scalar_of(const YAML::Node& map, const char* key) {
  const YAML::Node value = map[key];
  return value && value.IsScalar() ? value.Scalar() : std::string();
}

/// All files named by a key `trace` in a tree, and how each is to be read.
void find_traces(const YAML::Node& node, TraceChoices& found) {
  if (!node.IsMap() && !node.IsSequence()) return;
  for (const auto& child : node) {
    if (node.IsSequence()) {
      find_traces(child, found);
    } else if (child.first.Scalar() == "trace" && child.second.IsScalar()) {
      found[child.second.Scalar()].push_back(
          trace_choice(scalar_of(node, "dates"), scalar_of(node, "hour_jumps")));
    } else {
      find_traces(child.second, found);
    }
  }
}

}  // namespace

void take_traces(const YAML::Node& tree, ReadPlan& out) {
  TraceChoices found;
  find_traces(tree, found);
  std::vector<RecordChoice> choices;
  for (const auto& [name, of_file] : found) {
    choices.insert(choices.end(), of_file.begin(), of_file.end());
  }
  if (choices.empty()) choices.push_back(trace_choice("", ""));
  bool varied_reading = false;
  for (const auto* varied : varied_places(out.plan)) {
    const auto* values = std::get_if<std::vector<WrittenValue>>(&varied->values);
    if (values == nullptr) continue;
    const std::string& key = varied->path.steps.back().key;
    varied_reading = varied_reading || key == "dates" || key == "hour_jumps";
    for (const auto& value : *values) {
      if (value.yaml) find_traces(YAML::Load(value.text), found);
      if (!value.yaml && key == "trace") {
        auto& of_file = found[value.text];
        of_file.insert(of_file.end(), choices.begin(), choices.end());
      }
    }
  }
  const auto folder = std::filesystem::path(out.plan.base.file).parent_path();
  for (const auto& [name, of_file] : found) {
    const std::string file = (folder / name).string();
    LoggedFile logged = open_logged_file(file);
    for (const auto& choice : of_file) {
      try {
        add_record(logged, choice);
      } catch (const InputError&) {
        if (!varied_reading) throw;
      }
    }
    out.library.traces[file] = std::move(logged);
    out.plan.trace_files.push_back(file);
  }
}

ReadPlan read_plan(const std::string& file, const std::string& material_folder,
                   const TakenUp& taken_up, const FittedReader& fitted) {
  ReadPlan out;
  out.library.materials = read_material_folder(material_folder);
  const SourceText source = read_text_file(file, most_plan_bytes);
  const Entry root = parse_yaml(source);
  root.check_keys("plan");
  Plan& plan = out.plan;
  plan.title = root.at("title").line();
  plan.file = source.file;
  plan.text = source.text;
  const auto vary = root.find("vary");
  const auto compare = root.find("compare");
  const auto tolerances = root.find("tolerances");
  const auto find = root.find("find");
  if (!vary && !compare && !tolerances && !find) {
    root.fail("needs at least one of 'vary', 'compare', 'tolerances' and 'find'");
  }
  if (const auto histories = root.find("histories")) {
    plan.keep_histories = histories->one_of({"keep", "none"}) == "keep";
  }
  PlanPlaces places(root.at("case"), material_folder, out);
  if (vary) read_vary(*vary, places, plan);
  if (compare) read_compare(*compare, out.base, taken_up, places, plan);
  if (find) read_find(*find, out.base, places, plan);
  if (tolerances) read_tolerances(*tolerances, fitted, places, plan);
  take_traces(places.tree(), out);
  settle_plan_detail(out);
  return out;
}

}  // namespace thawline::cases
