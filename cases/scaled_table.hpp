#pragma once

#include <yaml-cpp/yaml.h>

#include <optional>
#include <string>
#include <vector>

#include "cases/units.hpp"
#include "cases/varied_case.hpp"

namespace thawline::cases {

/// One row of a property's table as written: where it holds, and the value.
struct WrittenRow {
  std::string at;
  WrittenNumber value;
};

/// The rows of `{table: [[0 degC, 2.1 W/m/K], ...], source: ...}`; empty when the node is anything
/// else, or when its values are temperatures in degrees, which no factor suits.
[[nodiscard]] std::optional<std::vector<WrittenRow>> written_table(const YAML::Node& node);

/// The rows with all values times `factor`, as they stand under `table`.
[[nodiscard]] WrittenValue scaled(const std::vector<WrittenRow>& rows, double factor);

}  // namespace thawline::cases
