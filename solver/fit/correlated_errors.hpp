#pragma once

#include <vector>

#include "solver/fit/problem.hpp"

namespace thawline::solver::fit {

/// Residuals and slopes made independent with variance 1: series by their AR(1) errors, data by
/// their spreads, priors last. Rows in that order.
struct Whitened {
  Eigen::VectorXd residual;
  Eigen::MatrixXd slope;
  std::vector<Eigen::Index> begin;  ///< of each series, then of the data, then of the priors
};

[[nodiscard]] Whitened whiten(const Problem& problem, const Eigen::VectorXd& x,
                              const Residuals& residuals, const std::vector<Errors>& errors);

/// Errors of all series at a fit by restricted likelihood (H. D. Patterson, R. Thompson, Biometrika
/// 58 (1971) 545-554): residuals of a fit are smaller and less correlated than errors, and the
/// determinant of the information makes up for that. Far-off innovations count as three deviations.
/// `errors` holds a first guess; slopes must be there.
[[nodiscard]] std::vector<Errors> errors_at(const Problem& problem, const Eigen::VectorXd& x,
                                            const Residuals& residuals, std::vector<Errors> errors);

/// How many independent values a series of such errors is worth.
[[nodiscard]] double worth(const Series& series, const Errors& errors);

/// Correlation of neighbours at the usual spacing of a series.
[[nodiscard]] double neighbour_correlation(const Series& series, const Errors& errors);

/// Median spacing in s; 0 for fewer than two values.
[[nodiscard]] double spacing_of(const Series& series);

}  // namespace thawline::solver::fit
