#include "cases/rename_item.hpp"

namespace thawline::cases {

namespace {

/// `word` with another name for the item it begins with: "ice core" → "gel core".
std::string renamed(const std::string& word, const std::string& from, const std::string& to) {
  for (const char* part : {"", " core", " surface"}) {
    if (word == from + part) return to + part;
  }
  return word;
}

/// Renames in the value at `path`: a word, or a list of words.
void rename_at(const YAML::Node& value, const CasePath& path, const std::string& from,
               const std::string& to, std::vector<Setting>& out) {
  if (!value) return;
  if (value.IsScalar()) {
    const std::string now = renamed(value.Scalar(), from, to);
    if (now != value.Scalar()) out.push_back({path, {now, false}});
    return;
  }
  if (!value.IsSequence()) return;
  for (std::size_t i = 0; i < value.size(); ++i) {
    CasePath entry = path;
    entry.steps.push_back({"", i + 1});
    rename_at(value[i], entry, from, to, out);
  }
}

/// Renames under `keys` in each entry of the list `list`, or in a lone one.
void rename_in(const YAML::Node& tree, const std::string& list,
               const std::vector<std::string>& keys, const std::string& from, const std::string& to,
               std::vector<Setting>& out) {
  const YAML::Node node = tree[list];
  if (!node) return;
  const std::size_t count = node.IsSequence() ? node.size() : 1;
  for (std::size_t i = 0; i < count; ++i) {
    CasePath path{{{list, 0}}};
    if (node.IsSequence()) path.steps.push_back({"", i + 1});
    const YAML::Node entry = node.IsSequence() ? node[i] : node;
    if (!entry.IsMap()) continue;
    for (const auto& key : keys) {
      CasePath at = path;
      at.steps.push_back({key, 0});
      rename_at(entry[key], at, from, to, out);
    }
  }
}

}  // namespace

std::vector<Setting> references_renamed(const YAML::Node& tree, const std::string& from,
                                        const std::string& to) {
  std::vector<Setting> out;
  rename_in(tree, "happenings", {"add", "remove"}, from, to, out);
  rename_in(tree, "payload", {"stands_on"}, from, to, out);
  rename_in(tree, "limits", {"probe"}, from, to, out);
  return out;
}

}  // namespace thawline::cases
