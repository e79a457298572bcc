#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <vector>

#include "solver/fit/estimate.hpp"
#include "solver/fit/jumps.hpp"

namespace {

using namespace thawline::solver::fit;

/// Two capacities in a row between a heater and the surroundings:
///   C1 dT1/dt = q + (T2 − T1)/R1,  C2 dT2/dt = (T1 − T2)/R1 + (Ta − T2)/R2.
/// In closed form by the two eigenvalues of the matrix.
struct TwoCapacities {
  double r1 = 0, r2 = 0, c1 = 0, c2 = 0;  // K/W, J/K
  double q = 0, around = 0, start = 0;    // W, K

  [[nodiscard]] std::pair<double, double> at(double t) const {
    const double a = -1 / (r1 * c1);
    const double b = 1 / (r1 * c1);
    const double c = 1 / (r1 * c2);
    const double d = -1 / (r1 * c2) - 1 / (r2 * c2);
    const double end2 = around + q * r2;
    const double end1 = end2 + q * r1;
    const double root = std::sqrt((a - d) * (a - d) + 4 * b * c);
    const double l1 = (a + d + root) / 2;
    const double l2 = (a + d - root) / 2;
    // exp(Mt) = (e1 (M − l2) − e2 (M − l1)) / (l1 − l2)
    const double e1 = std::exp(l1 * t);
    const double e2 = std::exp(l2 * t);
    const double x = start - end1;
    const double y = start - end2;
    const double mx = a * x + b * y;
    const double my = c * x + d * y;
    return {end1 + (e1 * (mx - l2 * x) - e2 * (mx - l1 * x)) / (l1 - l2),
            end2 + (e1 * (my - l2 * y) - e2 * (my - l1 * y)) / (l1 - l2)};
  }
};

const TwoCapacities truth{0.8, 2.5, 9000, 4000, 6, 293, 278};

Problem network(const std::vector<double>& time) {
  Problem problem;
  for (int s = 0; s < 2; ++s) {
    Series series;
    series.time = time;
    for (const double t : time) {
      series.measured.push_back(s == 0 ? truth.at(t).first : truth.at(t).second);
    }
    problem.series.push_back(series);
  }
  for (const double start : {2.0, 1.0, 3000.0, 9000.0}) {
    Unknown unknown;
    unknown.start = std::log(start);
    unknown.low = unknown.start - 3;
    unknown.high = unknown.start + 3;
    unknown.step = 1e-3;
    problem.unknowns.push_back(unknown);
  }
  problem.model = [time](const Eigen::VectorXd& x) -> std::optional<Predicted> {
    TwoCapacities model = truth;
    model.r1 = std::exp(x[0]);
    model.r2 = std::exp(x[1]);
    model.c1 = std::exp(x[2]);
    model.c2 = std::exp(x[3]);
    Predicted out;
    out.series.resize(2);
    for (const double t : time) {
      const auto [first, second] = model.at(t);
      out.series[0].push_back(first);
      out.series[1].push_back(second);
    }
    return out;
  };
  return problem;
}

std::vector<double> instants(double step, double end) {
  std::vector<double> time;
  for (double t = step; t <= end; t += step) time.push_back(t);
  return time;
}

const double values[] = {truth.r1, truth.r2, truth.c1, truth.c2};

}  // namespace

TEST_CASE("the closed form satisfies its own equations", "[solver][fit]") {
  for (const double t : {300.0, 4000.0, 40000.0}) {
    const double h = 1;
    const auto [a, b] = truth.at(t);
    const double da = (truth.at(t + h).first - truth.at(t - h).first) / (2 * h);
    const double db = (truth.at(t + h).second - truth.at(t - h).second) / (2 * h);
    CHECK(truth.c1 * da == Approx(truth.q + (b - a) / truth.r1).margin(1e-5));
    CHECK(truth.c2 * db == Approx((a - b) / truth.r1 + (truth.around - b) / truth.r2).margin(1e-5));
  }
  CHECK(truth.at(0).first == Approx(truth.start));
}

TEST_CASE("a network of closed form is recovered to 0.1 % without noise", "[solver][fit]") {
  const Problem problem = network(instants(600, 80000));
  EstimateOptions options;
  options.starts = 3;
  const Estimated found = estimate(problem, options);
  REQUIRE(found.found);
  CHECK(found.agreeing >= 1);
  for (Eigen::Index k = 0; k < 4; ++k) {
    INFO("value " << k);
    CHECK(std::exp(found.x[k]) == Approx(values[k]).epsilon(1e-3));
  }
}

TEST_CASE("intervals hold the truth under correlated errors where naive ones do not",
          "[solver][fit]") {
  const auto time = instants(600, 150000);
  int held = 0;
  int naive = 0;
  int asked = 0;
  std::vector<double> off;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    Problem problem = network(time);
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    const double correlation = 0.9;
    for (auto& series : problem.series) {
      double error = 0.3 * normal(random);
      for (double& value : series.measured) {
        value = std::round((value + error) * 10) / 10;
        error =
            correlation * error + 0.3 * std::sqrt(1 - correlation * correlation) * normal(random);
      }
    }
    EstimateOptions options;
    options.starts = 1;
    const Estimated found = estimate(problem, options);
    REQUIRE(found.found);
    for (std::size_t k = 0; k < 4; ++k) {
      const double wanted = std::log(values[k]);
      ++asked;
      held += found.ends[k].low <= wanted && wanted <= found.ends[k].high ? 1 : 0;
      naive += found.naive[k].low <= wanted && wanted <= found.naive[k].high ? 1 : 0;
      off.push_back((found.x[static_cast<Eigen::Index>(k)] - wanted) /
                    (found.ends[k].high - found.ends[k].low));
    }
  }
  INFO("held " << held << ", naive " << naive << " of " << asked);
  CHECK(held >= 0.90 * asked);
  CHECK(held < asked);
  CHECK(naive < 0.75 * asked);
  std::nth_element(off.begin(), off.begin() + 80, off.end());
  CHECK(std::abs(off[80]) < 0.1);
}

TEST_CASE("the correlation of errors is found again", "[solver][fit]") {
  Problem problem = network(instants(600, 600000));
  std::mt19937_64 random(3);
  std::normal_distribution<double> normal;
  for (auto& series : problem.series) {
    double error = 0.2 * normal(random);
    for (double& value : series.measured) {
      value += error;
      error = 0.8 * error + 0.2 * 0.6 * normal(random);
    }
  }
  EstimateOptions options;
  options.starts = 1;
  const Estimated found = estimate(problem, options);
  REQUIRE(found.found);
  for (std::size_t s = 0; s < 2; ++s) {
    CHECK(neighbour_correlation(problem.series[s], found.errors[s]) == Approx(0.8).margin(0.05));
    CHECK(found.errors[s].deviation == Approx(0.2).epsilon(0.15));
  }
}

TEST_CASE("the covariance of a linear problem is that of least squares", "[solver][fit]") {
  // A straight line through four points with independent data: (AᵀA)⁻¹ by hand.
  Problem problem;
  const std::vector<double> t{0, 1, 2, 3};
  for (const double x : t) problem.data.push_back({1 + 2 * x, 0.5});
  for (int k = 0; k < 2; ++k) {
    Unknown unknown;
    unknown.low = -10;
    unknown.high = 10;
    unknown.step = 0.1;
    problem.unknowns.push_back(unknown);
  }
  problem.model = [t](const Eigen::VectorXd& x) -> std::optional<Predicted> {
    Predicted out;
    for (const double at : t) out.data.push_back(x[0] + x[1] * at);
    return out;
  };
  const Estimated found = estimate(problem, {});
  REQUIRE(found.found);
  CHECK(found.x[0] == Approx(1).margin(1e-5));
  CHECK(found.x[1] == Approx(2).margin(1e-5));
  CHECK(found.covariance(0, 0) == Approx(0.25 * 14 / 20));
  CHECK(found.covariance(1, 1) == Approx(0.25 * 4 / 20));
  CHECK(found.covariance(0, 1) == Approx(-0.25 * 6 / 20));
}

TEST_CASE("leaps are told from noise, and whether they stay", "[solver][fit]") {
  std::mt19937_64 random(5);
  std::normal_distribution<double> normal;
  std::vector<double> time;
  std::vector<double> value;
  for (int i = 0; i < 300; ++i) {
    time.push_back(600.0 * i);
    value.push_back(0.1 * normal(random));
  }
  CHECK(jumps_in(time, value, 0.03).empty());
  auto opened = value;
  opened[100] += 3;
  opened[101] += 1;
  const auto back = jumps_in(time, opened, 0.03);
  REQUIRE(back.size() == 1);
  CHECK(back.front().at == 100);
  CHECK_FALSE(back.front().stays);
  auto fallen = value;
  for (std::size_t i = 150; i < 300; ++i) fallen[i] -= 4;
  const auto stayed = jumps_in(time, fallen, 0.03);
  REQUIRE(stayed.size() == 1);
  CHECK(stayed.front().at == 150);
  CHECK(stayed.front().stays);
  CHECK(stayed.front().by == Approx(-4).margin(0.5));
}
