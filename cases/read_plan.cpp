#include "cases/read_plan.hpp"

#include <filesystem>
#include <set>

#include "cases/plan_places.hpp"
#include "cases/read_compare.hpp"
#include "cases/read_find.hpp"
#include "cases/read_tolerances.hpp"
#include "cases/read_trace.hpp"
#include "cases/read_vary.hpp"

namespace thawline::cases {

namespace {

constexpr std::size_t most_plan_bytes = 4U << 20U;

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

/// Reads every trace the plan's cases may name that can be read; others fail their cases.
void take_traces(const YAML::Node& tree, ReadPlan& out) {
  std::set<std::string> names;
  find_traces(tree, names);
  for (const auto* varied : varied_places(out.plan)) {
    const auto* values = std::get_if<std::vector<WrittenValue>>(&varied->values);
    if (values == nullptr) continue;
    for (const auto& value : *values) {
      if (value.yaml) find_traces(YAML::Load(value.text), names);
      if (!value.yaml && varied->path.steps.back().key == "trace") names.insert(value.text);
    }
  }
  const auto folder = std::filesystem::path(out.plan.base.file).parent_path();
  for (const auto& name : names) {
    const std::string file = (folder / name).string();
    out.library.traces[file] = read_trace(file);
    out.plan.trace_files.push_back(file);
  }
}

}  // namespace

ReadPlan read_plan(const std::string& file, const std::string& material_folder,
                   const TakenUp& taken_up) {
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
  if (tolerances) read_tolerances(*tolerances, places, plan);
  take_traces(places.tree(), out);
  return out;
}

}  // namespace thawline::cases
