#pragma once

#include "solver/heat/drink_film.hpp"
#include "solver/heat/laws/link_heat.hpp"

namespace thawline::solver {

/// q = A φ(T_a, T_b) between the wall a of a can and its drink b, φ of `drink_film`, where equation
/// and sources stand. `area` in m2, `height` and `diameter` in m.
[[nodiscard]] inline LinkHeat convected_in_can(double area, double height, double diameter,
                                               double a, double b) {
  return area * drink_film(height, diameter, a, b);
}

}  // namespace thawline::solver
