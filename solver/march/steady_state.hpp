#pragma once

#include "solver/heat/heat_balance.hpp"
#include "solver/linear/newton_system.hpp"

namespace thawline::solver {

struct SteadyState {
  bool found = false;
  State state;
  Rates rates;
  int iterations = 0;
};

/// The state in which nothing changes any more under constant `conditions`, for a network with a
/// section and without melting: Newton on Σ G (T_j − T_i) = 0 down to `tolerance` (K).
[[nodiscard]] SteadyState steady_state(HeatBalance& balance, const Conditions& conditions,
                                       double tolerance,
                                       LinearMethod method = LinearMethod::by_structure);

}  // namespace thawline::solver
