#include <catch2/catch.hpp>

#include "solver/results/limit_watch.hpp"
#include "support/one_column.hpp"

// 2 kg of ice from −20 degC, all mixed, UA = 0.5 W/K, ambient 30 degC: warm-up, melt and warm-up
// again have closed forms (τ ln and m L/(UA ΔT)): 4188.7701 s, 44453.3333 s, then to 10 degC
// 6811.8138 s.

using namespace thawline;

namespace {

struct Limits : solver::Watcher {
  explicit Limits(const mesh::Network& network)
      : five({"", {"lump"}, cases::Side::not_above, 278.15}, network),
        ten({"", {"lump"}, cases::Side::not_above, 283.15}, network) {}
  void at_instant(const solver::StepView& view) override {
    five.at_instant(view);
    ten.at_instant(view);
  }
  void after_step(const solver::StepView& view) override {
    five.after_step(view);
    ten.after_step(view);
  }
  solver::LimitWatch five, ten;
};

}  // namespace

TEST_CASE("melt, then warm: hold time of a lumped box against its closed form", "[solver]") {
  const auto network = test::lump(test::rounded_ice(), 2, 253.15, 0.5);
  solver::HeatBalance balance(network);
  Limits limits(network);
  const auto summary =
      solver::march(balance, test::steady_schedule(303.15, 303.15, 60000), {}, limits);
  REQUIRE(summary.completed);
  CHECK(summary.closure < 1e-12);
  const double melted = 4188.7701 + 44453.3333;
  CHECK(limits.five.result().hold_time() == Approx(melted + 3063.0022).epsilon(5e-4));
  CHECK(limits.ten.result().hold_time() == Approx(melted + 6811.8138).epsilon(5e-4));
  CHECK(limits.ten.result().chill_time == 0);
}

TEST_CASE("a limit that starts too warm counts from the chill time", "[solver]") {
  // Water from 30 degC cools in a room at 2 degC: τ = m c/UA, to 5 degC in τ ln(28/3).
  auto water = test::plain_material(0.6, 1000, 4200);
  const auto network = test::lump(water, 1, 303.15, 0.5);
  solver::HeatBalance balance(network);
  Limits limits(network);
  const auto schedule = test::steady_schedule(275.15, 275.15, 40000);
  solver::MarchOptions options;
  options.accuracy = 1e-3;
  REQUIRE(solver::march(balance, schedule, options, limits).completed);
  CHECK(limits.five.result().chill_time == Approx(8400 * std::log(28.0 / 3)).epsilon(1e-4));
  CHECK(limits.five.result().hold_time() == solver::never);
}
