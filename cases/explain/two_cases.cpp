#include "cases/explain/two_cases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "cases/input_error.hpp"
#include "cases/plan_places.hpp"
#include "cases/rename_item.hpp"

namespace thawline::cases {

namespace {

/// Keys of a run that do not change what is computed.
const std::set<std::string>& idle_keys() {
  static const std::set<std::string> keys{"duration", "output_every", "fields"};
  return keys;
}

bool same(const YAML::Node& a, const YAML::Node& b) {
  if (!a.IsDefined() || !b.IsDefined()) return a.IsDefined() == b.IsDefined();
  if (a.Type() != b.Type()) return false;
  if (a.IsScalar()) return a.Scalar() == b.Scalar();
  if (a.size() != b.size()) return false;
  if (a.IsSequence()) {
    for (std::size_t i = 0; i < a.size(); ++i) {
      if (!same(a[i], b[i])) return false;
    }
    return true;
  }
  return std::all_of(a.begin(), a.end(), [&b](const auto& entry) {
    const YAML::Node other = b[entry.first.Scalar()];
    return other.IsDefined() && same(entry.second, other);
  });
}

std::string words_of(const YAML::Node& node) {
  if (!node.IsDefined()) return "none";
  const std::string text = node.IsScalar() ? node.Scalar() : flow_yaml(node);
  return text.size() > 40 ? text.substr(0, 37) + "..." : text;
}

/// The value at a key, undefined where there is none; never adds the key.
YAML::Node value_at(const YAML::Node& map, const std::string& key) {
  return map.IsDefined() && map.IsMap() ? map[key] : YAML::Node(YAML::NodeType::Undefined);
}

/// What differs between two values, down to the innermost: "wall 2 thickness 30 mm -> 40 mm".
std::string change_words(const std::string& key, const YAML::Node& a, const YAML::Node& b) {
  const bool maps = a.IsDefined() && b.IsDefined() && a.IsMap() && b.IsMap();
  const bool lists =
      a.IsDefined() && b.IsDefined() && a.IsSequence() && b.IsSequence() && a.size() == b.size();
  std::string words;
  const auto add = [&words, &key](const std::string& inner, const YAML::Node& x,
                                  const YAML::Node& y) {
    if (same(x, y)) return;
    words += (words.empty() ? "" : ", ") + change_words(key + " " + inner, x, y);
  };
  if (maps) {
    std::set<std::string> keys;
    for (const auto& entry : a) keys.insert(entry.first.Scalar());
    for (const auto& entry : b) keys.insert(entry.first.Scalar());
    for (const auto& inner : keys) add(inner, value_at(a, inner), value_at(b, inner));
    return words;
  }
  if (lists) {
    for (std::size_t i = 0; i < a.size(); ++i) add(fmt::format("{}", i + 1), a[i], b[i]);
    return words;
  }
  return fmt::format("{} {} -> {}", key, words_of(a), words_of(b));
}

/// A lone map as a list of one.
void make_list(YAML::Node& tree, const std::string& key) {
  const YAML::Node node = value_at(tree, key);
  if (!node.IsDefined() || node.IsSequence()) return;
  YAML::Node list(YAML::NodeType::Sequence);
  list.push_back(YAML::Clone(node));
  tree[key] = list;
}

std::size_t count_of(const YAML::Node& tree, const std::string& list) {
  const YAML::Node node = value_at(tree, list);
  return node.IsDefined() ? node.size() : 0;
}

std::string name_of(const YAML::Node& tree, const std::string& list, std::size_t i) {
  const YAML::Node name = value_at(tree[list][i], "name");
  return name.IsDefined() && name.IsScalar() ? name.Scalar() : std::string();
}

bool is_loose(const YAML::Node& coolant) {
  const YAML::Node form = value_at(coolant, "form");
  return form.IsDefined() && form.IsScalar() && form.Scalar() == "loose";
}

/// A trace of another folder goes by its whole path.
void name_trace_wholly(YAML::Node& tree, const std::string& file) {
  const YAML::Node surroundings = value_at(tree, "surroundings");
  if (!surroundings.IsDefined()) return;
  const YAML::Node air = value_at(surroundings, "air");
  if (!air.IsDefined() || !air.IsMap() || !value_at(air, "trace").IsDefined()) return;
  const auto folder = std::filesystem::absolute(file).parent_path();
  YAML::Node at = tree["surroundings"]["air"];
  at["trace"] = (folder / at["trace"].Scalar()).string();
}

}  // namespace

TwoCases::TwoCases(const SourceText& first, const SourceText& second) : source_(first) {
  first_ = YAML::Clone(parse_yaml(first).node());
  second_ = YAML::Clone(parse_yaml(second).node());
  if (!first_.IsMap() || !second_.IsMap()) return;
  name_trace_wholly(first_, first.file);
  name_trace_wholly(second_, second.file);
  for (const char* list : {"coolant", "payload"}) {
    make_list(first_, list);
    make_list(second_, list);
    name_alike(list);
  }
  look_at_list("coolant");
  look_at_materials();
  look_at_list("payload");
  look_at_key("box", "box");
  look_at_key("surroundings", "weather");
  look_at_key("happenings", "happenings");
  look_at_key("limits", "limits");
  look_at_run();
}

/// Lets coolants and payloads of the second go by the names of the first, and what speaks of them.
void TwoCases::name_alike(const std::string& list) {
  const std::size_t both = std::min(count_of(first_, list), count_of(second_, list));
  for (std::size_t i = 0; i < both; ++i) {
    const std::string from = name_of(second_, list, i);
    const std::string to = name_of(first_, list, i);
    if (from == to || from.empty() || to.empty()) continue;
    for (const auto& setting : references_renamed(second_, from, to)) {
      put_at(second_, setting.path, YAML::Node(setting.value.text));
    }
    YAML::Node entry = second_[list][i];
    entry["name"] = to;
  }
}

void TwoCases::add_group(const std::string& name, const std::string& words,
                         std::vector<Change> changes) {
  groups_.push_back({name, words});
  changes_.push_back(std::move(changes));
}

void TwoCases::look_at_key(const std::string& key, const std::string& group) {
  const YAML::Node a = value_at(first_, key);
  const YAML::Node b = value_at(second_, key);
  if (same(a, b)) return;
  add_group(group, change_words(key, a, b),
            {{"", 0, key, b.IsDefined() ? YAML::Clone(b) : YAML::Node()}});
}

void TwoCases::look_at_materials() {
  const YAML::Node b = value_at(second_, "materials");
  if (!b.IsDefined() || !b.IsMap()) return;
  std::vector<Change> changes;
  std::string words;
  for (const auto& entry : b) {
    const std::string name = entry.first.Scalar();
    const YAML::Node a = value_at(first_, "materials");
    const YAML::Node other = a.IsDefined() ? value_at(a, name) : a;
    if (!other.IsDefined()) {
      first_["materials"][name] = YAML::Clone(entry.second);
    } else if (!same(other, entry.second)) {
      changes.push_back({"materials", 0, name, YAML::Clone(entry.second)});
      words += (words.empty() ? "" : ", ") + name;
    }
  }
  if (!changes.empty()) add_group("material data", words, std::move(changes));
}

void TwoCases::look_at_run() {
  const YAML::Node a = value_at(first_, "run");
  const YAML::Node b = value_at(second_, "run");
  if (!a.IsDefined() || !b.IsDefined() || !a.IsMap() || !b.IsMap()) return;
  std::set<std::string> keys;
  for (const auto& entry : a) keys.insert(entry.first.Scalar());
  for (const auto& entry : b) keys.insert(entry.first.Scalar());
  std::vector<Change> changes;
  std::string words;
  for (const auto& key : keys) {
    const YAML::Node x = value_at(a, key);
    const YAML::Node y = value_at(b, key);
    if (idle_keys().count(key) > 0 || same(x, y)) continue;
    changes.push_back({"run", 0, key, y.IsDefined() ? YAML::Clone(y) : YAML::Node()});
    words += (words.empty() ? "" : ", ") + change_words(key, x, y);
  }
  if (!changes.empty()) add_group("numerics", words, std::move(changes));
}

void TwoCases::look_at_list(const std::string& list) {
  const std::size_t a = count_of(first_, list);
  const std::size_t b = count_of(second_, list);
  const bool one = std::max(a, b) == 1;
  for (std::size_t i = 0; i < std::min(a, b); ++i) {
    const std::string name = name_of(first_, list, i);
    const std::string prefix =
        one ? (list == "payload" ? "contents' " : "")
            : fmt::format("'{}': ", name.empty() ? fmt::format("{} {}", list, i + 1) : name);
    list == "coolant" ? look_at_coolant(i, prefix) : look_at_payload(i, prefix);
  }
  // From the last on, so that entries keep their numbers as they are taken away.
  for (std::size_t i = a; i-- > b;) {
    add_group(fmt::format("'{}' itself", name_of(first_, list, i)), "is not in the second",
              {{list, i + 1, "", YAML::Node()}});
  }
  for (std::size_t i = a; i < b; ++i) {
    add_group(fmt::format("'{}' itself", name_of(second_, list, i)), "is not in the first",
              {{list, i + 1, "", YAML::Clone(second_[list][i])}});
  }
}

void TwoCases::add_keys(const std::string& name, const std::string& list, std::size_t entry,
                        const std::vector<std::string>& keys) {
  std::vector<Change> changes;
  std::string words;
  for (const auto& key : keys) {
    const YAML::Node a = value_at(first_[list][entry], key);
    const YAML::Node b = value_at(second_[list][entry], key);
    if (same(a, b)) continue;
    changes.push_back({list, entry + 1, key, b.IsDefined() ? YAML::Clone(b) : YAML::Node()});
    words += (words.empty() ? "" : ", ") + change_words(key, a, b);
  }
  if (!changes.empty()) add_group(name, words, std::move(changes));
}

void TwoCases::look_at_coolant(std::size_t i, const std::string& prefix) {
  const bool mixed = is_loose(first_["coolant"][i]) != is_loose(second_["coolant"][i]);
  add_keys(prefix + "start", "coolant", i, {"start", "start_liquid_fraction"});
  add_keys(prefix + "amount", "coolant", i, {"amount"});
  std::vector<std::string> shape{"form", "thickness", "stacked", "melt_water"};
  if (mixed) shape.emplace_back("place");
  add_keys(prefix + (mixed ? "shape and place" : "shape"), "coolant", i, shape);
  add_keys(prefix + "material", "coolant", i, {"material"});
  if (!mixed) add_keys(prefix + "place", "coolant", i, {"place"});
  add_keys(prefix + "contact", "coolant", i, {"contact", "liquid_mixing"});
}

void TwoCases::look_at_payload(std::size_t i, const std::string& prefix) {
  add_keys(prefix + "start", "payload", i, {"start"});
  add_keys(prefix + "kind and amount", "payload", i,
           {"contents", "cans", "block", "liquid_mixing", "stands_on", "contact"});
}

std::optional<DetailChoice> TwoCases::common_detail(double duration,
                                                    const MaterialShelf& shelf) const {
  for (const YAML::Node& tree : {first_, second_}) {
    if (value_at(value_at(tree, "run"), "detail").IsDefined()) return std::nullopt;
  }
  const std::size_t count = groups_.size();
  const std::uint64_t all = count < 64 ? (std::uint64_t{1} << count) - 1 : 0;
  std::vector<std::uint64_t> looked_at{0, all};
  for (std::size_t i = 0; i < count; ++i) {
    looked_at.push_back(std::uint64_t{1} << i);
    looked_at.push_back(all ^ (std::uint64_t{1} << i));
  }
  std::vector<DetailChoice> seen;
  for (const std::uint64_t subset : looked_at) {
    try {
      seen.push_back(choose_detail(between(subset, duration, shelf)));
    } catch (const InputError&) {
      continue;  // it is left out later
    }
  }
  return cases::common_detail(seen);
}

void TwoCases::take_detail(Detail detail) {
  first_["run"]["detail"] = word_of(detail);
  if (detail == Detail::two_d && !first_["run"]["accuracy"].IsDefined()) {
    first_["run"]["accuracy"] = written(accuracy_of_chosen_section, "K");
  }
}

Case TwoCases::between(std::uint64_t subset, double duration, const MaterialShelf& shelf) const {
  YAML::Node tree = YAML::Clone(first_);
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    if ((subset >> g & 1U) == 0) continue;
    for (const Change& change : changes_[g]) {
      YAML::Node at = tree;
      if (!change.list.empty()) at.reset(tree[change.list]);
      if (change.entry > 0 && change.key.empty()) {
        if (change.value.IsNull()) {
          at.remove(change.entry - 1);
        } else {
          at.push_back(YAML::Clone(change.value));
        }
        continue;
      }
      if (change.entry > 0) {
        YAML::Node list;
        list.reset(at);
        at.reset(list[change.entry - 1]);
      }
      if (change.value.IsNull()) {
        at.remove(change.key);
      } else {
        at[change.key] = YAML::Clone(change.value);
      }
    }
  }
  tree["run"]["duration"] = written(duration, "s");
  return read_case_tree(Entry(tree, "", source_), shelf, {});
}

}  // namespace thawline::cases
