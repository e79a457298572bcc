#include "solver/fit/problem.hpp"

#include <algorithm>
#include <cmath>

namespace thawline::solver::fit {

namespace {

bool all_finite(const Predicted& predicted) {
  for (const auto& series : predicted.series) {
    if (!std::all_of(series.begin(), series.end(), [](double v) { return std::isfinite(v); })) {
      return false;
    }
  }
  return std::all_of(predicted.data.begin(), predicted.data.end(),
                     [](double v) { return std::isfinite(v); });
}

/// Predictions one after the other.
Eigen::VectorXd flat(const Predicted& predicted) {
  std::vector<double> all;
  for (const auto& series : predicted.series) all.insert(all.end(), series.begin(), series.end());
  all.insert(all.end(), predicted.data.begin(), predicted.data.end());
  return Eigen::Map<Eigen::VectorXd>(all.data(), static_cast<Eigen::Index>(all.size()));
}

std::optional<Eigen::VectorXd> predictions(const Problem& problem, const Eigen::VectorXd& x) {
  const auto predicted = problem.model(x);
  if (!predicted || !all_finite(*predicted)) return std::nullopt;
  return flat(*predicted);
}

/// Derivative of all predictions by one unknown; falls back to one side where the other fails.
std::optional<Eigen::VectorXd> slope_by(const Problem& problem, const Eigen::VectorXd& x,
                                        const Eigen::VectorXd& here, Eigen::Index k,
                                        Slopes slopes) {
  const Unknown& unknown = problem.unknowns[static_cast<std::size_t>(k)];
  const double up = std::min(unknown.step, unknown.high - x[k]);
  const double down = std::min(unknown.step, x[k] - unknown.low);
  const auto at = [&](double change) {
    Eigen::VectorXd moved = x;
    moved[k] += change;
    return predictions(problem, moved);
  };
  if (slopes == Slopes::central && up == unknown.step && down == unknown.step) {
    const auto above = at(up);
    const auto below = at(-down);
    if (above && below) return (*above - *below) / (up + down);
  }
  const double first = up >= down ? unknown.step : -unknown.step;
  for (const double change : {first, -first}) {
    if (const auto moved = at(change)) return (*moved - here) / change;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Residuals> residuals_at(const Problem& problem, const Eigen::VectorXd& x,
                                      Slopes slopes) {
  const auto here = predictions(problem, x);
  if (!here) return std::nullopt;
  Residuals out;
  std::vector<Eigen::Index> begin;
  Eigen::Index at = 0;
  for (const auto& series : problem.series) {
    begin.push_back(at);
    const auto n = static_cast<Eigen::Index>(series.time.size());
    out.series.emplace_back(Eigen::Map<const Eigen::VectorXd>(series.measured.data(), n) -
                            here->segment(at, n));
    at += n;
  }
  const auto data = static_cast<Eigen::Index>(problem.data.size());
  out.data.resize(data);
  for (Eigen::Index i = 0; i < data; ++i) {
    out.data[i] = problem.data[static_cast<std::size_t>(i)].measured - (*here)[at + i];
  }
  const auto count = static_cast<Eigen::Index>(problem.unknowns.size());
  for (Eigen::Index k = 0; k < count; ++k) {
    const int of = problem.unknowns[static_cast<std::size_t>(k)].offset_of;
    if (of >= 0) out.series[static_cast<std::size_t>(of)].array() -= x[k];
  }
  if (slopes == Slopes::none) return out;

  Eigen::MatrixXd slope = Eigen::MatrixXd::Zero(here->size(), count);
  bool failed = false;
#pragma omp parallel for schedule(dynamic) reduction(|| : failed)
  for (Eigen::Index k = 0; k < count; ++k) {
    const int of = problem.unknowns[static_cast<std::size_t>(k)].offset_of;
    if (of >= 0) {
      const auto s = static_cast<std::size_t>(of);
      slope.col(k).segment(begin[s], out.series[s].size()).setOnes();
      continue;
    }
    const auto column = slope_by(problem, x, *here, k, slopes);
    failed = failed || !column;
    if (column) slope.col(k) = *column;
  }
  if (failed) return std::nullopt;
  for (std::size_t s = 0; s < problem.series.size(); ++s) {
    out.series_slope.emplace_back(-slope.middleRows(begin[s], out.series[s].size()));
  }
  out.data_slope = -slope.bottomRows(data);
  out.has_slopes = true;
  return out;
}

}  // namespace thawline::solver::fit
