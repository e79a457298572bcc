#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "solver/fit/correlated_errors.hpp"
#include "solver/fit/problem.hpp"

namespace thawline::solver::fit {

/// Both ends of an interval, natural scale.
struct Ends {
  double low = 0, high = 0;
};

/// What came of an estimation.
struct Estimated {
  bool found = false;
  Eigen::VectorXd x;
  std::vector<Errors> errors;  ///< of the series
  Residuals residuals;         ///< at x, central slopes
  Whitened whitened;           ///< the same
  Eigen::MatrixXd covariance;
  std::vector<Ends> ends;   ///< 95 %, by profile, errors correlated
  std::vector<Ends> naive;  ///< 95 %, every value taken for independent
  double quantile = 1.96;   ///< of Student's t that the intervals use
  double cost = 0;
  int starts = 0, agreeing = 0;
};

struct EstimateOptions {
  int starts = 4;
  std::uint64_t seed = 1;
};

/// Least squares from several starting points, then with the errors' correlation estimated and the
/// search repeated with it; intervals by profiling the likelihood.
[[nodiscard]] Estimated estimate(const Problem& problem, const EstimateOptions& options);

}  // namespace thawline::solver::fit
