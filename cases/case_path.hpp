#pragma once

#include <yaml-cpp/yaml.h>

#include <cstddef>
#include <string>
#include <vector>

namespace thawline::cases {

/// One step down a case file: into a key of a map, or into an entry of a list.
struct PathStep {
  std::string key;
  std::size_t entry = 0;  ///< from 1; 0 for a key
};

/// The way to one value of a case file, as a reader's message names it: `box.wall[2].thickness`.
struct CasePath {
  std::vector<PathStep> steps;

  [[nodiscard]] std::string text() const;
  /// True when the other path is this one or lies below it.
  [[nodiscard]] bool holds(const CasePath& other) const;
};

/// Where a path led in a case file.
struct FoundPath {
  CasePath path;
  std::size_t found = 0;  ///< how many of its steps there are; the rest are keys not yet there
  std::string problem;    ///< one sentence when the path leads nowhere
};

/// Follows words such as `box.wall.2.thickness`, `box.wall[2].thickness` or
/// `coolant.gel under.start` from the root of a case. A list entry is called by its number, counted
/// from 1, or by its `name`. Never throws.
[[nodiscard]] FoundPath follow_path(const YAML::Node& root, const std::string& words);

/// The node at the first `count` steps, which must be there.
[[nodiscard]] YAML::Node node_at(const YAML::Node& root, const CasePath& path, std::size_t count);

/// Puts a node at a path whose last key may be new.
void put_at(const YAML::Node& root, const CasePath& path, const YAML::Node& value);

}  // namespace thawline::cases
