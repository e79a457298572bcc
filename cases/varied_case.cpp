#include "cases/varied_case.hpp"

#include <utility>

#include "cases/choose_detail.hpp"
#include "cases/entry.hpp"
#include "cases/units.hpp"

namespace thawline::cases {

BaseCase::BaseCase(SourceText source, const std::vector<std::string>& taken,
                   std::optional<Detail> detail)
    : source_(std::make_unique<const SourceText>(std::move(source))),
      tree_(parse_yaml(*source_).node()) {
  for (const auto& text : taken) {
    for (const auto& material : YAML::Load(text)) {
      tree_["materials"][material.first.Scalar()] = material.second;
    }
  }
  if (!detail) return;
  tree_["run"]["detail"] = word_of(*detail);
  if (*detail == Detail::two_d && !tree_["run"]["accuracy"].IsDefined()) {
    tree_["run"]["accuracy"] = written(accuracy_of_chosen_section, "K");
  }
}

Case BaseCase::read_with(const std::vector<Setting>& settings, const Library& library,
                         bool with_text) const {
  // A clone does not know its places in the file any more; the base itself does.
  const YAML::Node tree = settings.empty() ? tree_ : YAML::Clone(tree_);
  for (const auto& setting : settings) {
    const auto& value = setting.value;
    put_at(tree, setting.path, value.yaml ? YAML::Load(value.text) : YAML::Node(value.text));
  }
  Case c = read_case_tree(Entry(tree, "", *source_), library.materials, library.traces);
  if (with_text) c.text = YAML::Dump(tree) + "\n";
  return c;
}

}  // namespace thawline::cases
