#pragma once

#include <vector>

namespace thawline::mesh {

/// Heat flow across the edge where two walls of thickness `a` and `b` (m) meet, beyond the plane
/// parts A_inside/a + A_inside/b, per metre of inner edge and per k ΔT (dimensionless).
/// Equal walls: 1 − 2 ln2/π = 0.5587288 exactly (conformal map; the handbook prints 0.54,
/// Langmuir, Adams & Meikle 1913). Unequal: the right-angle bend of a strip with widths a and b
/// (conjugate problem; formula from memory, checked by its symmetry and its equal-width value).
[[nodiscard]] double edge_excess(double a, double b);

/// Extra of one corner of three walls, times the wall thickness (Langmuir et al. 1913): 0.15.
inline constexpr double corner_excess = 0.15;

struct ConductingLayer {
  double thickness = 0;     ///< m
  double conductivity = 0;  ///< W/m/K
};

/// Slope b (m) such that layers whose area is A(y) = area + (slope + b) y conduct `excess` (W/K)
/// more than with A(y) = area + slope y, y from the inner face. Throws std::domain_error when no
/// such slope exists.
[[nodiscard]] double slope_for_excess(double area, double slope,
                                      const std::vector<ConductingLayer>& layers, double excess);

/// ∫ dy/(k A) of layers whose area is A(y) = area + slope y, K/W.
[[nodiscard]] double resistance_between(double area, double slope,
                                        const std::vector<ConductingLayer>& layers);

/// ∫ dy/(area + slope y) from y0 to y1 (1/m).
[[nodiscard]] double shape_between(double area, double slope, double y0, double y1);

}  // namespace thawline::mesh
