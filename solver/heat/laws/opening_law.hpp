#pragma once

#include "solver/heat/laws/conductance_law.hpp"
#include "solver/heat/laws/radiation_law.hpp"

namespace thawline::solver {

/// Through an open lid: q = ρ c_p V n (T_a − T_b) + σ A (T_a⁴ − T_b⁴), air exchanged by perfect
/// mixing and a black opening. `per_air_change` ρ c_p V in J/K, `air_changes` n in 1/s (0: shut),
/// `area` in m2.
[[nodiscard]] inline LinkHeat let_through(double per_air_change, double area, double air_changes,
                                          double a, double b) {
  if (air_changes <= 0) return {};
  return conducted(per_air_change * air_changes, a, b) + radiated(area, a, b);
}

}  // namespace thawline::solver
