#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "support/one_column.hpp"

// Two-phase melting and freezing of a half space (Neumann; Carslaw & Jaeger, Conduction of Heat in
// Solids, 2nd ed., 11.2): front X = 2 λ √(a t), a of the new phase. Ice at −20 degC, wall at
// +20 degC: λ = 0.2558008; water at +20 degC, wall at −20 degC: λ = 0.2047219.
// The far end of the slab follows the exact solution, so that the slab stands for the half space.

using namespace thawline;

namespace {

struct Neumann {
  double lambda;
  double wall;                        ///< K over the melting point; the far end starts at −wall
  double new_phase, far_phase;        ///< diffusivities, m2/s
  double new_capacity, far_capacity;  ///< J/kg/K

  [[nodiscard]] double front(double time) const { return 2 * lambda * std::sqrt(new_phase * time); }
  [[nodiscard]] double time(double depth) const {
    return std::pow(depth / (2 * lambda), 2) / new_phase;
  }
  /// K over the melting point.
  [[nodiscard]] double temperature(double x, double time) const {
    if (x < front(time)) {
      return wall * (1 - std::erf(x / (2 * std::sqrt(new_phase * time))) / std::erf(lambda));
    }
    const double ratio = std::sqrt(new_phase / far_phase);
    return -wall *
           (1 - std::erfc(x / (2 * std::sqrt(far_phase * time))) / std::erfc(lambda * ratio));
  }
  /// J/kg over the solid at its melting point.
  [[nodiscard]] double enthalpy(double x, double time) const {
    const double t = temperature(x, time);
    const double c = x < front(time) ? new_capacity : far_capacity;
    return c * t + ((x < front(time)) == (wall > 0) ? 333.4e3 : 0);
  }
};

constexpr double liquid_diffusivity = 0.57 / (917 * 4200.0);
constexpr double solid_diffusivity = 2.2 / (917 * 2050.0);
const Neumann melting{0.2558008, 20, liquid_diffusivity, solid_diffusivity, 4200, 2050};
const Neumann freezing{0.2047219, -20, solid_diffusivity, liquid_diffusivity, 2050, 4200};
constexpr double depth = 0.1;

/// Errors relative to the exact depth of the front; the mean is over times past 25 mm.
struct FrontErrors {
  double after_5_cells, after_10_cells, mean;
};

struct FrontWatch : solver::Watcher {
  FrontWatch(const Neumann& exact_solution, int cells, double begun)
      : exact(exact_solution), width(depth / cells), begin(begun) {}
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    double x = 0;
    for (int i = 0; i < view.balance->cells(); ++i) {
      const double liquid = view.balance->thermal_state(*view.to, i).liquid_fraction;
      x += width * (exact.wall > 0 ? liquid : 1 - liquid);
    }
    const double where = exact.front(begin + view.end);
    const double error = std::abs(x / where - 1);
    if (where > 5 * width) after_5_cells = std::max(after_5_cells, error);
    if (where > 10 * width) after_10_cells = std::max(after_10_cells, error);
    if (where > 0.025) {
      squares += error * error * (view.end - view.begin);
      weight += view.end - view.begin;
    }
  }

  Neumann exact;
  double width, begin;
  double after_5_cells = 0, after_10_cells = 0;
  double squares = 0, weight = 0;
};

/// Runs until the front is at 50 mm, from its start at the wall or, with `start_cells`, from the
/// exact heat of every cell when the front is that deep.
FrontErrors run(const Neumann& exact, int cells, double start_cells, double accuracy = 0.002) {
  const double width = depth / cells;
  const double begin = exact.time(start_cells * width);
  const double end = exact.time(0.05);
  solver::Schedule schedule;
  cases::Trace far;
  for (int i = 0; i <= 4000; ++i) {
    // Even in √t, where the far temperature is smooth.
    const double time = (end - begin) * std::pow(i / 4000.0, 2);
    far.time.push_back(time);
    far.temperature.push_back(test::zero_celsius + (begin + time > 0
                                                        ? exact.temperature(depth, begin + time)
                                                        : -exact.wall));
  }
  schedule.air = far;
  schedule.ground_follows_air = false;
  schedule.ground = test::zero_celsius + exact.wall;
  schedule.duration = end - begin;
  const double start = test::zero_celsius - exact.wall;
  mesh::Network network = test::slab({{test::rounded_ice(), depth, cells}}, start, 1e9, 1e9);
  if (begin > 0) {
    const solver::EnthalpyCurve curve(test::rounded_ice());
    for (std::size_t i = 0; i < network.cells.size(); ++i) {
      double mean = 0;
      constexpr int points = 1000;
      for (int k = 0; k < points; ++k) {
        mean +=
            exact.enthalpy((static_cast<double>(i) + (k + 0.5) / points) * width, begin) / points;
      }
      const auto state = curve.at(mean);
      const bool melts = state.liquid_fraction > 0 && state.liquid_fraction < 1;
      network.cells[i].start = {state.temperature, melts ? state.liquid_fraction : -1};
    }
  }
  solver::HeatBalance balance(network);
  solver::MarchOptions options;
  options.accuracy = accuracy;
  FrontWatch watch(exact, cells, begin);
  const auto summary = solver::march(balance, schedule, options, watch);
  INFO(cells << " cells, wall " << exact.wall << " K: " << summary.stop_reason);
  REQUIRE(summary.completed);
  CHECK(summary.closure < 1e-9);
  return {watch.after_5_cells, watch.after_10_cells, std::sqrt(watch.squares / watch.weight)};
}

}  // namespace

TEST_CASE("melting front by Neumann's solution, 100 cells", "[solver]") {
  const FrontErrors errors = run(melting, 100, 0);
  INFO("after 5 cells " << errors.after_5_cells << ", after 10 " << errors.after_10_cells
                        << ", mean " << errors.mean);
  CHECK(errors.after_5_cells <= 1e-3);
  CHECK(errors.mean <= 2e-5);
}

TEST_CASE("freezing front by Neumann's solution, 100 cells", "[solver]") {
  for (const double start_cells : {0.0, 2.0}) {
    const FrontErrors errors = run(freezing, 100, start_cells);
    INFO("from " << start_cells << " cells: after 5 cells " << errors.after_5_cells << ", after 10 "
                 << errors.after_10_cells << ", mean " << errors.mean);
    CHECK(errors.after_5_cells <= 1e-3);
    CHECK(errors.mean <= 1e-4);
  }
}

TEST_CASE("the fronts converge at second order in space", "[solver]") {
  for (const Neumann& exact : {melting, freezing}) {
    std::vector<double> errors;
    // Finer grids leave 4e-6 of the freezing front, which is not of the grid.
    for (const int n : {25, 50, 100}) errors.push_back(run(exact, n, 0, 2e-4).mean);
    const double order = std::log(errors.front() / errors.back()) / std::log(4.0);
    INFO("mean errors " << errors[0] << " " << errors[1] << " " << errors[2] << ", order "
                        << order);
    CHECK(order >= 1.8);
  }
}
