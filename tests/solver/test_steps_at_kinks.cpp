#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "solver/march/march.hpp"
#include "support/one_column.hpp"

// Counts work, not seconds: what it costs a front to pass a cell.

using namespace thawline;

TEST_CASE("steps end where a cell has melted instead of being rejected beyond it", "[solver]") {
  struct Quiet : solver::Watcher {
    void at_instant(const solver::StepView&) override {}
    void after_step(const solver::StepView&) override {}
  };
  constexpr int cells = 60;
  const mesh::Network network =
      test::slab({{test::rounded_ice(), 0.03, cells}}, test::zero_celsius - 5, 20, 20);
  // Air that freezes and thaws it in turn, every twelve hours.
  cases::Trace air;
  for (int quarter = 0; quarter <= 4 * 96; ++quarter) {
    air.time.push_back(900.0 * quarter);
    air.temperature.push_back(test::zero_celsius +
                              12 * std::sin(quarter / 48.0 * 2 * std::numbers::pi));
  }
  solver::Schedule schedule = test::steady_schedule(0, 0, air.time.back());
  schedule.air = air;
  schedule.ground_follows_air = true;
  solver::HeatBalance balance(network);
  Quiet watcher;
  const auto summary = solver::march(balance, schedule, {}, watcher);
  INFO(summary.stop_reason << ": " << summary.steps << " steps, " << summary.rejected
                           << " more rejected, " << summary.newton_iterations << " iterations");
  REQUIRE(summary.completed);
  CHECK(summary.closure < 1e-9);
  CHECK(summary.rejected <= 0.2 * summary.steps);
}
