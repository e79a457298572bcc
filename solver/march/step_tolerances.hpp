#pragma once

#include "mesh/network.hpp"

namespace thawline::solver {

/// How closely a step must meet what it solves, by what the network is made of.
struct StepTolerances {
  double step = 0;    ///< K, local error allowed a step
  double newton = 0;  ///< K, what Newton may leave at a surface, a lumped body, a cell of a column
  /// K. Heat of melting counts in the error norm as if spread over this range.
  double melting_range = 0;
  /// Fronts move their resistances for so many iterations of a stage; then these stay, so that what
  /// is left is a monotone problem which Newton always solves.
  int front_iterations = 0;
  double aim = 0;  ///< share of the longest step its error would allow that a step aims at
};

/// For a local error of `step` (K) a step.
[[nodiscard]] StepTolerances tolerances_for(const mesh::Network& network, double step);

}  // namespace thawline::solver
