#include <catch2/catch.hpp>

#include "cases/read_case.hpp"
#include "solver/results/run_case.hpp"
#include "support/example_section.hpp"
#include "support/one_column.hpp"

using namespace thawline;

namespace {

cases::Case box(std::optional<double> air_conductivity, const std::string& probe) {
  auto c = test::example_section("thin-box");
  c.run.section.fineness = 0.5;
  c.run.section.air_conductivity = air_conductivity;
  c.run.duration = 6 * 3600;
  c.limits[0].probes = {probe};
  c.payloads[0].stands.on = cases::Support::On::nothing;
  // Two layers of bottles, the upper one farther from the gel on the floor.
  std::get<cases::Cans>(c.payloads[0].body).count = 24;
  std::get<cases::Cans>(c.payloads[0].body).volume = 0.125e-3;
  std::get<cases::Cans>(c.payloads[0].body).height = 0.09;
  return c;
}

double hold_time(const cases::Case& c) {
  const auto result = solver::run_case(c);
  CHECK(result.summary.closure <= 1e-9);
  REQUIRE(result.limits[0].end_time > 0);
  return result.limits[0].hold_time();
}

}  // namespace

TEST_CASE("air that conducts very well is the well-mixed air", "[solver][section]") {
  const double mixed = hold_time(box(std::nullopt, "bottles"));
  CHECK(hold_time(box(1e4, "bottles warmest")) == Approx(mixed).epsilon(1e-3));
  CHECK(hold_time(box(1e4, "bottles coldest")) == Approx(mixed).epsilon(1e-3));
}

TEST_CASE("where air conducts little the bottles far from the gel warm first",
          "[solver][section]") {
  const double warmest = hold_time(box(0.03, "bottles warmest"));
  const double mean = hold_time(box(0.03, "bottles"));
  const double coldest = hold_time(box(0.03, "bottles coldest"));
  CHECK(warmest < 0.98 * mean);
  CHECK(coldest > 1.02 * mean);
}

namespace {

/// The mean temperature (K) of the parcels in the upper and in the lower half of the air, kept from
/// ten minutes on: the largest and the smallest by which the lower half is the warmer.
struct LayersWatch : solver::Watcher {
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    if (view.end < 600) return;
    const auto& network = view.balance->network();
    double middle = 0;
    for (const auto& r : network.regions) middle = std::max(middle, r.z1 / 2);
    double sum[2] = {0, 0};
    double volume[2] = {0, 0};
    for (const auto& r : network.regions) {
      if (r.item >= 0) continue;
      const int half = (r.z0 + r.z1) / 2 > middle ? 1 : 0;
      const double v = network.cells[static_cast<std::size_t>(r.first)].volume;
      sum[half] += v * view.balance->thermal_state(*view.to, r.first).temperature;
      volume[half] += v;
    }
    const double warmer_below = sum[0] / volume[0] - sum[1] / volume[1];
    most = std::max(most, warmer_below);
    least = std::min(least, warmer_below);
  }
  double most = -1e9, least = 1e9;
};

cases::Case box_with_pack(cases::Place place) {
  auto c = box(0.1, "bottles warmest");
  c.coolants[0].place = place;
  return c;
}

}  // namespace

TEST_CASE("cold air sinks from a pack in the lid and stays over one on the floor",
          "[solver][section]") {
  LayersWatch under_lid;
  auto c = box_with_pack(cases::Place::lid);
  const auto lid = solver::run_network(c, mesh::build_network(c), {&under_lid});
  REQUIRE(lid.summary.completed);
  INFO("lower half the warmer by " << under_lid.least << " to " << under_lid.most << " K");
  CHECK(under_lid.most <= 1);
  c.run.section.air_conductivity = std::nullopt;
  CHECK(lid.summary.steps <= 3 * solver::run_case(c).summary.steps);
  LayersWatch over_floor;
  c = box_with_pack(cases::Place::floor);
  CHECK(solver::run_network(c, mesh::build_network(c), {&over_floor}).summary.completed);
  INFO("with the pack on the floor by " << over_floor.least << " to " << over_floor.most << " K");
  CHECK(over_floor.most <= -1);
}

TEST_CASE("buoyancy carries heat up only, and joins conduction smoothly", "[solver]") {
  mesh::Network network = test::lump(test::plain_material(1, 1000, 1000), 1, 300, 0);
  network.cells.push_back(network.cells[0]);
  network.hubs = {{"below", 0, -1}, {"above", 1, -1}};
  network.links[0] = {};
  network.links[0].b = 1;
  network.links[0].law = mesh::Law::air_layers;
  network.links[0].conductance = 0.2;
  network.links[0].mixing = 3;
  solver::HeatBalance balance(network);
  const auto upward = [&](double warmer_below) {
    solver::State state = balance.start_state();
    state.enthalpy[0] += 1000 * warmer_below;
    solver::Rates rates = balance.zero_rates();
    balance.evaluate(state, {}, rates);
    CHECK(rates.cells[0] + rates.cells[1] == Approx(0).margin(1e-12));
    return rates.cells[1];
  };
  CHECK(upward(-2) == Approx(-0.4));
  CHECK(upward(4) == Approx(0.2 * 4 + 3 * 8));
  CHECK(upward(1e-6) == Approx(0.2e-6).epsilon(0.02));
}
