#pragma once

#include <string>

#include "speed/peer_integrators.hpp"

namespace thawline::validation {

/// One integrator at one tolerance, over some rounds.
struct Run {
  std::string solver;
  double tolerance = 0;         ///< K
  std::vector<double> seconds;  ///< of the processor, by round
  Answer answer;
};

/// The library's own march, its probes taken as a user of it would.
[[nodiscard]] Answer by_library(const Problem& problem, double accuracy, double output_every);

/// Farthest that two answers lie apart at any output, K; what only one of them has is left out.
[[nodiscard]] double farthest(const Answer& a, const Answer& b);

/// Time that the processor gave to this thread, s: what else runs on the machine does not count.
[[nodiscard]] double seconds_of_this_thread();

}  // namespace thawline::validation
