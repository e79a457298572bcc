#pragma once

#include <cmath>

#include "solver/heat/convection.hpp"
#include "solver/heat/laws/link_heat.hpp"

namespace thawline::solver {

/// q = h A (T_a − T_b) between a surface a and the air b, with h(|T_a − T_b|) of
/// `natural_convection`, where the sources stand. The derivatives leave out that the properties of
/// the film change with its temperature. `area` in m2, characteristic `length` in m.
[[nodiscard]] inline LinkHeat convected(mesh::Facing facing, double area, double length, double a,
                                        double b) {
  const Coefficient h = natural_convection(facing, length, a, b);
  const double g = area * (h.value + h.slope * std::abs(a - b));
  return {area * h.value * (a - b), g, -g};
}

}  // namespace thawline::solver
