#pragma once

#include <algorithm>
#include <cmath>

#include "solver/heat/laws/conductance_law.hpp"

namespace thawline::solver {

/// Two layers of air, a below b: q = G ΔT + M max(0, ΔT)^(3/2), ΔT = T_a − T_b. Warmer air below
/// rises by buoyancy as far as a mixing length (Prandtl; Priestley 1954, from memory): `mixing` M
/// in W/K^(3/2), see EQUATIONS.md, Sections.
[[nodiscard]] inline LinkHeat layered(double conductance, double mixing, double a, double b) {
  const double root = std::sqrt(std::max(0.0, a - b));
  const LinkHeat mixed{mixing * root * root * root, 1.5 * mixing * root, -1.5 * mixing * root};
  return conducted(conductance, a, b) + mixed;
}

}  // namespace thawline::solver
