#pragma once

#include <string>
#include <vector>

namespace thawline::cases {

/// The keys one kind of map in a case file may have. The JSON Schema holds the same (a test says).
struct KeySet {
  std::string map;  ///< such as "box" or "coolant"
  std::vector<std::string> required;
  std::vector<std::string> optional;
};

/// All maps of a case file.
[[nodiscard]] const std::vector<KeySet>& case_keys();

/// All maps of a plan file (see plan.hpp).
[[nodiscard]] const std::vector<KeySet>& plan_keys();

/// All maps of a trial file (see fit/trial.hpp).
[[nodiscard]] const std::vector<KeySet>& trial_keys();

/// The key set of one map; `map` must be a known one.
[[nodiscard]] const KeySet& keys_of(const std::string& map);

}  // namespace thawline::cases
