#pragma once

#include <limits>
#include <string>

#include "speed/problem.hpp"

namespace thawline::validation {

/// One integrator at one tolerance, over some rounds.
struct Run {
  std::string solver;
  double tolerance = 0;         ///< K
  std::vector<double> seconds;  ///< of the processor, by round
  Answer answer;
};

/// The library's own march, its probes taken as a user of it would; given up after so many seconds
/// of the processor.
[[nodiscard]] Answer by_library(const Problem& problem, double accuracy, double output_every,
                                double most_seconds = std::numeric_limits<double>::infinity());

/// Farthest that two answers lie apart at any output, K; what only one of them has is left out.
[[nodiscard]] double farthest(const Answer& a, const Answer& b);

}  // namespace thawline::validation
