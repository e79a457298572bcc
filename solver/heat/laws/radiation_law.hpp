#pragma once

#include <cmath>

#include "solver/heat/laws/link_heat.hpp"

namespace thawline::solver {

/// q = σ ε A (T_a⁴ − T_b⁴), Stefan and Boltzmann; `emissive_area` ε A in m2, σ as in CODATA 2018.
/// T |T|³ goes on rising below 0 K, so that an iterate of Newton that strays there comes back: T⁴
/// would balance at −T too.
[[nodiscard]] inline LinkHeat radiated(double emissive_area, double a, double b) {
  constexpr double stefan_boltzmann = 5.670374419e-8;
  const double s = stefan_boltzmann * emissive_area;
  const double cube_a = std::abs(a * a * a);
  const double cube_b = std::abs(b * b * b);
  return {s * (cube_a * a - cube_b * b), 4 * s * cube_a, -4 * s * cube_b};
}

}  // namespace thawline::solver
