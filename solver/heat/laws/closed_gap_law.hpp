#pragma once

#include "mesh/correlations/closed_gap.hpp"
#include "mesh/network.hpp"

namespace thawline::solver {

/// Resistance of a closed gap (K/W) and its derivative by the mean temperature of what it parts
/// (1/W).
struct GapResistance {
  double value = 0;
  double by_mean = 0;
};

/// 1/R = A h(T_m), h by ISO 6946 (`correlations::gap_coefficient`), T_m the mean of the two cells
/// beside the gap, K.
[[nodiscard]] inline GapResistance gap_resistance(const mesh::ClosedGap& gap, double mean) {
  const auto h = correlations::gap_coefficient(gap.thickness, gap.convection, gap.emissivity, mean);
  const double r = 1 / (gap.area * h.value);
  return {r, -r * h.slope / h.value};
}

}  // namespace thawline::solver
