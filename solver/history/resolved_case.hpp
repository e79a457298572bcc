#pragma once

#include <nlohmann/json.hpp>

#include "cases/case.hpp"
#include "mesh/network.hpp"

namespace thawline::solver::history {

/// The case as understood, whole, SI values with the unit in every key: whatever a key of a case
/// decides stands in it, properties of materials as rows of (temperature, value).
[[nodiscard]] nlohmann::ordered_json resolved_case(const cases::Case& c,
                                                   const mesh::Network& network);

}  // namespace thawline::solver::history
