#pragma once

#include "mesh/network.hpp"
#include "solver/heat/laws/link_heat.hpp"
#include "solver/heat/state.hpp"

namespace thawline::solver {

/// Heat along a wholly uncovered link whose ends are at `a` and `b` (K), by the law it has.
[[nodiscard]] LinkHeat link_heat(const mesh::Link& link, double a, double b,
                                 const Conditions& conditions);

}  // namespace thawline::solver
