#pragma once

#include <string>
#include <vector>

#include "solver/fit/problem.hpp"

namespace thawline::solver::fit {

/// The end of one search.
struct Minimum {
  bool found = false;
  Eigen::VectorXd x;
  double cost = 0;  ///< half the sum of squares as the loss counts them
};

/// The least sum of squares from a start within the bounds of the unknowns, by Ceres. Errors of
/// series as given; an innovation beyond 2.5 deviations counts by its size, not its square (Huber),
/// so that a probe that falls does not carry the rest away.
[[nodiscard]] Minimum least_squares(const Problem& problem, const Eigen::VectorXd& start,
                                    const std::vector<Errors>& errors, int most_iterations,
                                    double tolerance, Slopes slopes);

}  // namespace thawline::solver::fit
