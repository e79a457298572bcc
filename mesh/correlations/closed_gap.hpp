#pragma once

#include <algorithm>
#include <cmath>

/// Correlations that both the mesh and the solver's laws need, so that they stand before either.
namespace thawline::correlations {

/// A coefficient and its slope by temperature, W/m2/K and W/m2/K2.
struct GapCoefficient {
  double value = 0;
  double slope = 0;
};

/// The constant c of convection in a closed air gap for heat flowing up, sideways or down across a
/// `thickness` (m), W/m2/K (ISO 6946:2017 Annex D).
[[nodiscard]] inline double gap_convection_up() { return 1.95; }
[[nodiscard]] inline double gap_convection_sideways() { return 1.25; }
[[nodiscard]] inline double gap_convection_down(double thickness) {
  return 0.12 * std::pow(thickness, -0.44);
}

/// Coefficient of a closed air gap of `thickness` (m) at its mean temperature (K), by ISO 6946:2017
/// Annex D:
///
///     h = max(c, 0.025/d) + E 4 σ T³,   1/E = 2/ε − 1
///
/// convection and conduction, and radiation between faces of the emissivity ε. `convection` is c.
[[nodiscard]] inline GapCoefficient gap_coefficient(double thickness, double convection,
                                                    double emissivity, double mean_temperature) {
  constexpr double stefan_boltzmann = 5.670374419e-8;
  const double exchange = 1 / (2 / emissivity - 1);
  const double still = std::max(convection, 0.025 / thickness);
  const double radiation = exchange * 4 * stefan_boltzmann * std::pow(mean_temperature, 3);
  return {still + radiation, 3 * radiation / mean_temperature};
}

}  // namespace thawline::correlations
