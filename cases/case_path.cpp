#include "cases/case_path.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <optional>

#include "cases/input_error.hpp"

namespace thawline::cases {

std::string CasePath::text() const {
  std::string text;
  for (const auto& step : steps) {
    if (step.entry > 0) {
      text += fmt::format("[{}]", step.entry);
    } else {
      text += (text.empty() ? "" : ".") + step.key;
    }
  }
  return text;
}

bool CasePath::holds(const CasePath& other) const {
  return steps.size() <= other.steps.size() &&
         std::equal(steps.begin(), steps.end(), other.steps.begin(),
                    [](const PathStep& a, const PathStep& b) {
                      return a.key == b.key && a.entry == b.entry;
                    });
}

namespace {

/// Takes `a.b[c].d` apart into a, b, c, d; empty when it is not well formed.
std::optional<std::vector<std::string>> split_words(const std::string& text) {
  std::vector<std::string> words;
  std::size_t at = 0;
  while (at < text.size()) {
    if (text[at] == '[') {
      const auto close = text.find(']', at);
      if (close == std::string::npos || words.empty()) return std::nullopt;
      words.push_back(text.substr(at + 1, close - at - 1));
      at = close + 1;
      if (at < text.size() && text[at] != '.' && text[at] != '[') return std::nullopt;
    } else {
      if (text[at] == '.') ++at;
      const auto end = std::min(text.find_first_of(".[", at), text.size());
      words.push_back(text.substr(at, end - at));
      at = end;
    }
    if (words.back().empty()) return std::nullopt;
  }
  if (text.empty() || text.back() == '.' || text.front() == '.') return std::nullopt;
  return words;
}

std::optional<std::size_t> as_number(const std::string& word) {
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), number);
  if (error != std::errc{} || end != word.data() + word.size()) return std::nullopt;
  return number;
}

std::string name_of(const YAML::Node& entry) {
  if (!entry.IsMap()) return {};
  const YAML::Node name = entry["name"];
  return name.IsDefined() && name.IsScalar() ? name.Scalar() : "";
}

/// Steps into an entry of a list (a lone map counts as a list of one); says what is wrong with it.
std::string enter_list(const YAML::Node& list, const std::string& word, FoundPath& out) {
  const std::string here = out.path.text();
  const std::size_t size = list.size();
  if (const auto number = as_number(word)) {
    if (*number == 0) return fmt::format("the entries of '{}' are counted from 1", here);
    if (*number > size) {
      return fmt::format("'{}' has {} entr{}; there is no entry {}", here, size,
                         size == 1 ? "y" : "ies", *number);
    }
    out.path.steps.push_back({"", *number});
    return {};
  }
  std::vector<std::string> names;
  for (std::size_t i = 0; i < size; ++i) {
    names.push_back(name_of(list[i]));
    if (names.back() != word) continue;
    out.path.steps.push_back({"", i + 1});
    return {};
  }
  std::erase(names, "");
  const std::string near = nearest(word, names);
  if (names.empty()) {
    return fmt::format("no entry of '{}' has a name; call it by its number, from 1 to {}", here,
                       size);
  }
  return near.empty() ? fmt::format("no entry of '{}' is named '{}'; there are: {}", here,
                                    shortened(word), fmt::join(names, ", "))
                      : fmt::format("no entry of '{}' is named '{}'; did you mean '{}'?", here,
                                    shortened(word), near);
}

bool calls_lone_map(const YAML::Node& map, const std::string& word) {
  return !map[word].IsDefined() && (word == "1" || (!word.empty() && name_of(map) == word));
}

}  // namespace

FoundPath follow_path(const YAML::Node& root, const std::string& words) {
  FoundPath out;
  const auto split = split_words(words);
  if (!split) {
    out.problem =
        fmt::format("'{}' is no path; it is written like box.wall.2.thickness or surroundings.air",
                    shortened(words));
    return out;
  }
  YAML::Node node;
  node.reset(root);
  bool there = true;
  for (const auto& word : *split) {
    if (!there) {
      out.path.steps.push_back({word, 0});
      continue;
    }
    const YAML::Node& here = node;
    if (here.IsSequence()) {
      out.problem = enter_list(here, word, out);
      if (!out.problem.empty()) return out;
      node.reset(here[out.path.steps.back().entry - 1]);
    } else if (here.IsMap()) {
      if (calls_lone_map(here, word)) continue;
      out.path.steps.push_back({word, 0});
      there = here[word].IsDefined();
      if (!there) continue;
      node.reset(here[word]);
    } else {
      out.problem = fmt::format("'{}' is {}; nothing lies below it", out.path.text(),
                                here.IsScalar() ? "a single value" : "empty");
      return out;
    }
    out.found = out.path.steps.size();
  }
  return out;
}

YAML::Node node_at(const YAML::Node& root, const CasePath& path, std::size_t count) {
  YAML::Node node;
  node.reset(root);
  for (std::size_t i = 0; i < count; ++i) {
    const PathStep& step = path.steps[i];
    node.reset(step.entry > 0 ? node[step.entry - 1] : node[step.key]);
  }
  return node;
}

void put_at(const YAML::Node& root, const CasePath& path, const YAML::Node& value) {
  YAML::Node parent = node_at(root, path, path.steps.size() - 1);
  const PathStep& last = path.steps.back();
  if (last.entry > 0) {
    parent[last.entry - 1] = value;
  } else {
    parent[last.key] = value;
  }
}

}  // namespace thawline::cases
