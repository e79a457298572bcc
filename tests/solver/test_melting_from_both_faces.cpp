#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "solver/results/crossing.hpp"
#include "support/one_column.hpp"

// Ice at its melting point between two faces at +20 degC. Until the fronts meet, each half melts as
// a half space would (Stefan's problem with one phase; Carslaw & Jaeger, Conduction of Heat in
// Solids, 2nd ed., 11.2): X = 2 λ √(a t) with λ exp(λ²) erf(λ) = Ste/√π, λ = 0.3413091 at
// Ste = 0.251950. So all of it is liquid when X is half the thickness.

using namespace thawline;

namespace {

constexpr double thickness = 0.03;  // m

double exact_time() {
  constexpr double lambda = 0.3413091;
  constexpr double diffusivity = 0.57 / (917 * 4200.0);
  return std::pow(thickness / 2 / (2 * lambda), 2) / diffusivity;
}

/// The instant at which the last of the ice has melted, s.
struct SpentWatch : solver::Watcher {
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    const auto solid = [&](double time) {
      double most = -1e30;
      for (int i = 0; i < view.balance->cells(); ++i) {
        most = std::max(most, view.balance->missing_to_liquid(view.enthalpy(i, time), i));
      }
      return most;
    };
    if (spent < 0 && solid(view.end) <= 0) spent = solver::crossing(solid, view.begin, view.end);
  }
  double spent = -1;
};

double time_spent(int cells, double accuracy) {
  const double warm = test::zero_celsius + 20;
  const mesh::Network network =
      test::slab({{test::rounded_ice(), thickness, cells}}, test::zero_celsius, 1e9, 1e9);
  solver::HeatBalance balance(network);
  solver::MarchOptions options;
  options.accuracy = accuracy;
  SpentWatch watch;
  const auto summary =
      solver::march(balance, test::steady_schedule(warm, warm, 1.2 * exact_time()), options, watch);
  REQUIRE(summary.completed);
  return watch.spent;
}

}  // namespace

TEST_CASE("a slab melted from both faces is spent on time, cells even or odd in number",
          "[solver]") {
  for (const double accuracy : {0.005, 0.05, 0.5}) {
    for (const int cells : {10, 11, 20, 21, 40, 41}) {
      const double error = time_spent(cells, accuracy) / exact_time() - 1;
      INFO(cells << " cells, accuracy " << accuracy << " K: spent " << 100 * error << " % late");
      // Second order in the size of a cell.
      CHECK(std::abs(error) <=
            std::max(5e-3 * std::pow(10.0 / cells, 2), accuracy > 0.1 ? 1e-3 : 5e-4));
    }
  }
}
