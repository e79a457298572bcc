#include "solver/fit/estimate.hpp"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "cases/latin_hypercube.hpp"
#include "solver/fit/least_squares.hpp"

namespace thawline::solver::fit {

namespace {

Eigen::VectorXd start_of(const Problem& problem, const EstimateOptions& options, int number) {
  Eigen::VectorXd x(static_cast<Eigen::Index>(problem.unknowns.size()));
  for (std::size_t k = 0; k < problem.unknowns.size(); ++k) {
    const auto& unknown = problem.unknowns[k];
    double value = unknown.start;
    // What is known beforehand needs no search.
    if (number > 0 && !unknown.prior) {
      const double u = cases::latin_hypercube(
          options.seed, k, static_cast<std::uint64_t>(std::max(options.starts - 1, 1)),
          static_cast<std::uint64_t>(number - 1));
      value = unknown.low + u * (unknown.high - unknown.low);
    }
    x[static_cast<Eigen::Index>(k)] = std::clamp(value, unknown.low, unknown.high);
  }
  return x;
}

Minimum best_of_starts(const Problem& problem, const EstimateOptions& options, Estimated& out) {
  constexpr int most_iterations = 30;
  Problem roughly = problem;
  if (roughly.rough) roughly.model = roughly.rough;
  std::vector<Minimum> ends;
  ends.reserve(static_cast<std::size_t>(options.starts));
  for (int i = 0; i < options.starts; ++i) {
    ends.push_back(least_squares(roughly, start_of(problem, options, i), out.errors,
                                 most_iterations, 1e-3, Slopes::forward));
  }
  const auto better = [](const Minimum& a, const Minimum& b) {
    return a.found && (!b.found || a.cost < b.cost);
  };
  Minimum best = *std::min_element(ends.begin(), ends.end(), better);
  out.starts = options.starts;
  for (const auto& end : ends) {
    if (end.found && end.cost <= 1.05 * best.cost + 1) ++out.agreeing;
  }
  return best;
}

Eigen::MatrixXd inverse(const Eigen::MatrixXd& information) {
  return information.completeOrthogonalDecomposition().pseudoInverse();
}

double tamed_half_sum(const Whitened& w, Eigen::Index plain_from) {
  constexpr double far = 2.5;
  double sum = 0;
  for (Eigen::Index i = 0; i < w.residual.size(); ++i) {
    const double r = std::abs(w.residual[i]);
    sum += i < plain_from && r > far ? 2 * far * r - far * far : r * r;
  }
  return sum;
}

/// Profiles the likelihood along one unknown: how far out the rise of the sum of squares, with all
/// others brought to their best, is that of the quantile. The others move by Gauss-Newton steps
/// with the slopes of the optimum.
class Profile {
 public:
  Profile(const Problem& problem, const Estimated& at)
      : problem_(&problem),
        at_(&at),
        information_(at.whitened.slope.transpose() * at.whitened.slope),
        plain_from_(at.whitened.begin[problem.series.size()]),
        least_(tamed_half_sum(at.whitened, plain_from_)) {}

  [[nodiscard]] double end(Eigen::Index k, double sign) const {
    const auto& unknown = problem_->unknowns[static_cast<std::size_t>(k)];
    const double bound = sign > 0 ? unknown.high : unknown.low;
    const double deviation = std::sqrt(std::max(at_->covariance(k, k), 0.0));
    double reach = at_->quantile * deviation;
    const double room = std::abs(bound - at_->x[k]);
    if (unknown.offset_of >= 0) return at_->x[k] + sign * std::min(reach, room);
    // Two secants on the signed root of the rise, which is straight for a linear model.
    for (int look = 0; look < 2; ++look) {
      const double tried = std::min(reach, room);
      if (tried <= 0) return bound;
      const auto rise = root_of_rise(k, at_->x[k] + sign * tried);
      if (!rise) return at_->x[k] + sign * tried;
      if (tried == room && *rise < at_->quantile) return bound;
      const double change = std::clamp(at_->quantile / std::max(*rise, 1e-3), 0.4, 2.5);
      reach = tried * change;
      if (std::abs(change - 1) < 0.03) break;
    }
    return at_->x[k] + sign * std::min(reach, room);
  }

 private:
  [[nodiscard]] std::optional<double> root_of_rise(Eigen::Index k, double value) const {
    Eigen::VectorXd x = at_->x;
    // Where the others go when this one moves, to first order.
    const Eigen::VectorXd along = at_->covariance.col(k) / at_->covariance(k, k);
    x += (value - at_->x[k]) * along;
    clamp(x);
    double best = std::numeric_limits<double>::infinity();
    Eigen::MatrixXd rest = information_;
    rest.row(k).setZero();
    rest.col(k).setZero();
    rest(k, k) = 1;
    const auto factors = rest.ldlt();
    for (int step = 0; step < 2; ++step) {
      const auto residuals = residuals_at(*problem_, x, Slopes::none);
      if (!residuals) break;
      const Whitened w = whiten(*problem_, x, *residuals, at_->errors);
      const double sum = tamed_half_sum(w, plain_from_);
      if (sum >= best) break;
      best = sum;
      Eigen::VectorXd pull = -(at_->whitened.slope.transpose() * w.residual);
      pull[k] = 0;
      x += factors.solve(pull);
      clamp(x);
    }
    if (!std::isfinite(best)) return std::nullopt;
    return std::sqrt(std::max(best - least_, 0.0));
  }

  void clamp(Eigen::VectorXd& x) const {
    for (Eigen::Index i = 0; i < x.size(); ++i) {
      const auto& unknown = problem_->unknowns[static_cast<std::size_t>(i)];
      x[i] = std::clamp(x[i], unknown.low, unknown.high);
    }
  }

  const Problem* problem_;
  const Estimated* at_;
  Eigen::MatrixXd information_;
  Eigen::Index plain_from_;
  double least_;
};

/// Every value of every series taken for independent.
std::vector<Ends> naive_ends(const Problem& problem, const Estimated& at) {
  std::vector<Errors> independent;
  for (const auto& residual : at.residuals.series) {
    const auto n = static_cast<double>(std::max<Eigen::Index>(residual.size(), 1));
    independent.push_back({std::max(std::sqrt(residual.squaredNorm() / n), 1e-6), 0});
  }
  const Whitened w = whiten(problem, at.x, at.residuals, independent);
  const Eigen::MatrixXd covariance = inverse(w.slope.transpose() * w.slope);
  std::vector<Ends> ends;
  for (Eigen::Index k = 0; k < at.x.size(); ++k) {
    const double half = 1.96 * std::sqrt(std::max(covariance(k, k), 0.0));
    ends.push_back({at.x[k] - half, at.x[k] + half});
  }
  return ends;
}

double quantile_for(const Problem& problem, const Estimated& at) {
  double pieces = static_cast<double>(problem.data.size());
  for (std::size_t s = 0; s < problem.series.size(); ++s) {
    pieces += worth(problem.series[s], at.errors[s]);
  }
  double sought = 0;
  for (const auto& unknown : problem.unknowns) sought += unknown.prior ? 0 : 1;
  const double freedom = std::clamp(pieces - sought, 3.0, 1e6);
  return boost::math::quantile(boost::math::students_t(freedom), 0.975);
}

}  // namespace

Estimated estimate(const Problem& problem, const EstimateOptions& options) {
  Estimated out;
  constexpr double first_deviation = 0.3;
  for (std::size_t s = 0; s < problem.series.size(); ++s) {
    out.errors.push_back({first_deviation, 4 * spacing_of(problem.series[s])});
  }
  Minimum best = best_of_starts(problem, options, out);
  if (!best.found) return out;
  constexpr int rounds = 3;
  for (int round = 0; round < rounds; ++round) {
    const auto residuals = residuals_at(problem, best.x, Slopes::central);
    if (!residuals) return out;
    out.errors = errors_at(problem, best.x, *residuals, out.errors);
    const Minimum again = least_squares(problem, best.x, out.errors, 30, 1e-7, Slopes::central);
    if (!again.found) break;
    const double moved = (again.x - best.x).cwiseAbs().maxCoeff();
    best = again;
    if (moved < 1e-4) break;
  }
  const auto residuals = residuals_at(problem, best.x, Slopes::central);
  if (!residuals) return out;
  out.found = true;
  out.x = best.x;
  out.cost = best.cost;
  out.residuals = *residuals;
  out.whitened = whiten(problem, out.x, out.residuals, out.errors);
  out.covariance = inverse(out.whitened.slope.transpose() * out.whitened.slope);
  out.quantile = quantile_for(problem, out);
  const Profile profile(problem, out);
  out.ends.resize(problem.unknowns.size());
#pragma omp parallel for schedule(dynamic)
  for (Eigen::Index k = 0; k < out.x.size(); ++k) {
    out.ends[static_cast<std::size_t>(k)] = {profile.end(k, -1), profile.end(k, 1)};
  }
  out.naive = naive_ends(problem, out);
  return out;
}

}  // namespace thawline::solver::fit
