#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "support/one_column.hpp"

// Two-phase melting of a half space (Neumann; Carslaw & Jaeger, Conduction of Heat in Solids,
// 2nd ed., 11.2): ice at −20 degC, wall at +20 degC, front X = 2 λ √(a t), λ = 0.2558008.
// The far end of the slab follows the exact solution, so that the slab stands for the half space.

using namespace thawline;

namespace {

constexpr double lambda = 0.2558008;
constexpr double diffusivity_liquid = 0.57 / (917 * 4200.0);
constexpr double diffusivity_solid = 2.2 / (917 * 2050.0);
constexpr double depth = 0.1;

double front(double time) { return 2 * lambda * std::sqrt(diffusivity_liquid * time); }

double solid_temperature(double x, double time) {
  const double ratio = std::sqrt(diffusivity_liquid / diffusivity_solid);
  return test::zero_celsius - 20 * (1 - std::erfc(x / (2 * std::sqrt(diffusivity_solid * time))) /
                                            std::erfc(lambda * ratio));
}

/// Errors relative to the exact depth of the front; the mean is over times past 25 mm.
struct FrontErrors {
  double after_5_cells, after_10_cells, mean;
};

struct FrontWatch : solver::Watcher {
  explicit FrontWatch(int cells) : width(depth / cells) {}
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    double x = 0;
    for (int i = 0; i < view.balance->cells(); ++i) {
      x += width * view.balance->thermal_state(*view.to, i).liquid_fraction;
    }
    const double exact = front(view.end);
    const double error = std::abs(x / exact - 1);
    if (exact > 5 * width) after_5_cells = std::max(after_5_cells, error);
    if (exact > 10 * width) after_10_cells = std::max(after_10_cells, error);
    if (exact > 0.025) {
      squares += error * error * (view.end - view.begin);
      weight += view.end - view.begin;
    }
  }

  double width;
  double after_5_cells = 0, after_10_cells = 0;
  double squares = 0, weight = 0;
};

FrontErrors melt(int cells) {
  solver::Schedule schedule;
  const double end = std::pow(0.05 / (2 * lambda), 2) / diffusivity_liquid;
  cases::Trace far;
  for (int i = 0; i <= 4000; ++i) {
    // Even in √t, where the far temperature is smooth.
    const double time = end * std::pow(i / 4000.0, 2);
    far.time.push_back(time);
    far.temperature.push_back(i == 0 ? test::zero_celsius - 20 : solid_temperature(depth, time));
  }
  schedule.air = far;
  schedule.ground_follows_air = false;
  schedule.ground = test::zero_celsius + 20;
  schedule.duration = end;
  solver::HeatBalance balance(
      test::slab({{test::rounded_ice(), depth, cells}}, test::zero_celsius - 20, 1e7, 1e7));
  solver::MarchOptions options;
  options.accuracy = 0.002;
  FrontWatch watch(cells);
  const auto summary = solver::march(balance, schedule, options, watch);
  REQUIRE(summary.completed);
  CHECK(summary.closure < 1e-9);
  return {watch.after_5_cells, watch.after_10_cells, std::sqrt(watch.squares / watch.weight)};
}

}  // namespace

TEST_CASE("two-phase front by Neumann's solution, 100 cells", "[solver]") {
  const FrontErrors errors = melt(100);
  INFO("worst error after 5 cells " << errors.after_5_cells << ", after 10 cells "
                                    << errors.after_10_cells << ", mean " << errors.mean);
  // The bar of 0.1 % holds once the front is 10 cells in. Over the first 10 cells the half-cell
  // heats that a mixed cell does not hold are worth up to 0.21 % of the depth melted so far.
  CHECK(errors.after_10_cells <= 1e-3);
  CHECK(errors.after_5_cells <= 2.5e-3);
  CHECK(errors.mean <= 2e-4);
}

TEST_CASE("the front converges at second order in space", "[solver]") {
  const std::vector<int> cells{25, 50, 100, 200};
  std::vector<double> errors;
  for (const int n : cells) errors.push_back(melt(n).mean);
  const double order = std::log(errors.front() / errors.back()) / std::log(8.0);
  INFO("mean errors " << errors[0] << " " << errors[1] << " " << errors[2] << " " << errors[3]
                      << ", order " << order);
  CHECK(order >= 1.8);
}
