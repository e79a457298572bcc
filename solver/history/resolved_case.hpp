#pragma once

#include <nlohmann/json.hpp>

#include "cases/case.hpp"
#include "mesh/network.hpp"

namespace thawline::solver::history {

/// The case as understood, SI values with the unit in every key.
[[nodiscard]] nlohmann::ordered_json resolved_case(const cases::Case& c,
                                                   const mesh::Network& network);

}  // namespace thawline::solver::history
