#include "solver/fit/correlated_errors.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace thawline::solver::fit {

namespace {

/// Correlation of values `apart` s from one another.
double correlation(double apart, double memory) {
  return memory > 0 ? std::exp(-apart / memory) : 0;
}

/// Innovations of an AR(1) series, each scaled to the variance of the series; `log_spread` is the
/// sum of ln(1 − φ²).
template <typename Values>
Eigen::MatrixXd innovations(const Series& series, const Values& values, double memory,
                            double* log_spread) {
  Eigen::MatrixXd out(values.rows(), values.cols());
  double sum = 0;
  for (Eigen::Index i = 0; i < values.rows(); ++i) {
    if (i == 0) {
      out.row(0) = values.row(0);
      continue;
    }
    const auto k = static_cast<std::size_t>(i);
    const double phi = correlation(series.time[k] - series.time[k - 1], memory);
    const double left = 1 - phi * phi;
    out.row(i) = (values.row(i) - phi * values.row(i - 1)) / std::sqrt(left);
    sum += std::log(left);
  }
  if (log_spread != nullptr) *log_spread = sum;
  return out;
}

double median_of(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Sum of squares in which nothing counts for more than three robust deviations.
double tame_sum(const Eigen::MatrixXd& innovation) {
  std::vector<double> sizes(static_cast<std::size_t>(innovation.rows()));
  for (Eigen::Index i = 0; i < innovation.rows(); ++i) {
    sizes[static_cast<std::size_t>(i)] = std::abs(innovation(i, 0));
  }
  const double most = 3 * 1.4826 * median_of(sizes);
  double sum = 0;
  for (const double size : sizes) {
    const double tamed = most > 0 ? std::min(size, most) : size;
    sum += tamed * tamed;
  }
  return sum;
}

constexpr double least_deviation = 1e-4;

}  // namespace

Whitened whiten(const Problem& problem, const Eigen::VectorXd& x, const Residuals& residuals,
                const std::vector<Errors>& errors) {
  Whitened out;
  const bool slopes = residuals.has_slopes;
  const auto count = static_cast<Eigen::Index>(problem.unknowns.size());
  Eigen::Index rows = 0;
  for (const auto& series : residuals.series) {
    out.begin.push_back(rows);
    rows += series.size();
  }
  out.begin.push_back(rows);
  rows += residuals.data.size();
  out.begin.push_back(rows);
  for (const auto& unknown : problem.unknowns) rows += unknown.prior ? 1 : 0;
  out.residual.resize(rows);
  out.slope = Eigen::MatrixXd::Zero(slopes ? rows : 0, slopes ? count : 0);
  for (std::size_t s = 0; s < problem.series.size(); ++s) {
    const auto& series = problem.series[s];
    const double scale = 1 / errors[s].deviation;
    const auto n = residuals.series[s].size();
    out.residual.segment(out.begin[s], n) =
        scale * innovations(series, residuals.series[s], errors[s].memory, nullptr);
    if (!slopes) continue;
    out.slope.middleRows(out.begin[s], n) =
        scale * innovations(series, residuals.series_slope[s], errors[s].memory, nullptr);
  }
  Eigen::Index row = out.begin[problem.series.size()];
  for (std::size_t i = 0; i < problem.data.size(); ++i, ++row) {
    const double scale = 1 / problem.data[i].spread;
    out.residual[row] = scale * residuals.data[static_cast<Eigen::Index>(i)];
    if (slopes) out.slope.row(row) = scale * residuals.data_slope.row(static_cast<Eigen::Index>(i));
  }
  for (Eigen::Index k = 0; k < count; ++k) {
    const auto& prior = problem.unknowns[static_cast<std::size_t>(k)].prior;
    if (!prior) continue;
    out.residual[row] = (prior->mean - x[k]) / prior->spread;
    if (slopes) out.slope(row, k) = -1 / prior->spread;
    ++row;
  }
  return out;
}

double spacing_of(const Series& series) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < series.time.size(); ++i) {
    steps.push_back(series.time[i] - series.time[i - 1]);
  }
  return median_of(std::move(steps));
}

std::vector<Errors> errors_at(const Problem& problem, const Eigen::VectorXd& x,
                              const Residuals& residuals, std::vector<Errors> errors) {
  constexpr int rounds = 3;
  constexpr int grid = 40;
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t s = 0; s < problem.series.size(); ++s) {
      const auto& series = problem.series[s];
      const auto n = residuals.series[s].size();
      if (n < 3) continue;
      const Whitened now = whiten(problem, x, residuals, errors);
      const auto mine = now.slope.middleRows(now.begin[s], n);
      const Eigen::MatrixXd all = now.slope.transpose() * now.slope;
      const Eigen::MatrixXd others = all - mine.transpose() * mine;
      const double spent =
          all.completeOrthogonalDecomposition().solve(mine.transpose() * mine).trace();
      const double free = std::max(static_cast<double>(n) - spent, 1.0);
      const double spacing = std::max(spacing_of(series), 1e-9);
      const double span = series.time.back() - series.time.front();
      double best = std::numeric_limits<double>::infinity();
      for (int g = 0; g <= grid; ++g) {
        const double memory = spacing / 4 * std::pow(2 * span / spacing, double(g) / grid);
        double log_spread = 0;
        const Eigen::MatrixXd u = innovations(series, residuals.series[s], memory, &log_spread);
        const double variance = std::max(tame_sum(u) / free, least_deviation * least_deviation);
        const Eigen::MatrixXd w = innovations(series, residuals.series_slope[s], memory, nullptr);
        const Eigen::MatrixXd information = others + w.transpose() * w / variance;
        const Eigen::VectorXd pivots = information.ldlt().vectorD();
        double log_information = 0;
        for (Eigen::Index i = 0; i < pivots.size(); ++i) {
          log_information += std::log(std::max(pivots[i], 1e-12));
        }
        const double minus_log =
            static_cast<double>(n) * std::log(variance) + log_spread + log_information;
        if (minus_log >= best) continue;
        best = minus_log;
        errors[s] = {std::sqrt(variance), memory};
      }
    }
  }
  return errors;
}

double neighbour_correlation(const Series& series, const Errors& errors) {
  return correlation(spacing_of(series), errors.memory);
}

double worth(const Series& series, const Errors& errors) {
  const double phi = neighbour_correlation(series, errors);
  return std::max(1.0, static_cast<double>(series.time.size()) * (1 - phi) / (1 + phi));
}

}  // namespace thawline::solver::fit
