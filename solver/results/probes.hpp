#pragma once

#include "mesh/network.hpp"
#include "solver/march/march.hpp"

namespace thawline::solver {

/// Temperature (K) of a probe at `time` within a step.
[[nodiscard]] double probe_temperature(const StepView& view, const mesh::Probe& probe, double time);

/// Mass-weighted liquid fraction of an item at `time` within a step; −1 while it is absent or does
/// not melt.
[[nodiscard]] double item_liquid_fraction(const StepView& view, const mesh::Item& item, int index,
                                          double time);

}  // namespace thawline::solver
