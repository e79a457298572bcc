#pragma once

#include "mesh/network.hpp"
#include "solver/heat/state.hpp"

namespace thawline::solver {

/// Heat of a source (W) and its derivative by the temperature where it enters (W/K, ≤ 0).
struct SourceHeat {
  double watt = 0;
  double by_temperature = 0;
};

/// Heat of a source that enters at `temperature` (K):
///
///     given       q = P(t)
///     thermostat  q = P(t) min(1, max(0, (T_off − T)/(T_off − T_full)))
///
/// P the schedule. A proportional controller of P as its full power; no source needed.
[[nodiscard]] SourceHeat source_heat(const mesh::Source& source, double temperature,
                                     const Conditions& conditions);

}  // namespace thawline::solver
