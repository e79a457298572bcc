#include <catch2/catch.hpp>
#include <cmath>

#include "mesh/network_builder.hpp"
#include "solver/heat/laws/source_law.hpp"
#include "support/one_column.hpp"
#include "support/plane_section.hpp"

using namespace thawline;
using test::zero_celsius;

namespace {

constexpr double air = 293.15;

/// A body of 2 kJ/K with a heater inside a body of 5 kJ/K that stands in the air: 0.8 W/K between
/// them, 0.3 W/K to the air.
mesh::Network two_bodies(const mesh::Source& heater) {
  mesh::Network network;
  mesh::NetworkBuilder builder(network, {});
  const auto unit = test::plain_material(1, 1, 1000);
  const int material = builder.add_material(unit, 1);
  const mesh::Start start{air, -1};
  const int inner = builder.add_lumped("inner", material, 2, builder.part("inner"), -1, start);
  const int outer = builder.add_lumped("outer", material, 5, builder.part("outer"), -1, start);
  builder.add(builder.conductance(inner, outer, 0.8));
  builder.add(builder.to_outside(outer, mesh::Outside::air, mesh::Law::conductance, 0.3,
                                 builder.path("walls")));
  mesh::Source source = heater;
  source.hub = inner;
  source.path = builder.path("heater");
  network.sources = {source};
  builder.finish();
  return network;
}

mesh::Source constant_source(double watt) {
  mesh::Source source;
  source.rows = {{0, watt}};
  return source;
}

struct Outcome {
  solver::Summary summary;
  test::LastState last;
  std::vector<double> heat;
};

class Heat : public test::LastState {
 public:
  void after_step(const solver::StepView& view) override {
    LastState::after_step(view);
    heat = *view.heat_after;
  }
  Eigen::VectorXd heat;
};

solver::Summary run(const mesh::Network& network, double duration, double accuracy, Heat& watcher) {
  solver::HeatBalance balance(network);
  solver::MarchOptions options;
  options.accuracy = accuracy;
  return solver::march(balance, test::steady_schedule(air, air, duration), options, watcher);
}

/// Warming (K) of the two bodies by `watt` since `time`: eigenvectors of the 2 × 2 system.
std::array<double, 2> warming(double watt, double time) {
  const double c1 = 2000;
  const double c2 = 5000;
  const double g = 0.8;
  const double h = 0.3;
  // dx/dt = −A x + (P/c1, 0); A = [g/c1, −g/c1; −g/c2, (g + h)/c2].
  const double mean = (g / c1 + (g + h) / c2) / 2;
  const double spread = std::sqrt(mean * mean - g * h / (c1 * c2));
  const double steady_1 = watt * (1 / g + 1 / h);
  const double steady_2 = watt / h;
  std::array<double, 2> x{steady_1, steady_2};
  for (const double rate : {mean - spread, mean + spread}) {
    // Eigenvector (1, r) and the share of the steady state that decays with it.
    const double r = 1 - rate * c1 / g;
    const double other = 1 - (2 * mean - rate) * c1 / g;
    const double share = (steady_2 - other * steady_1) / (r - other);
    x[0] -= share * std::exp(-rate * time);
    x[1] -= share * r * std::exp(-rate * time);
  }
  return x;
}

}  // namespace

TEST_CASE("two bodies with a heater warm as their closed form", "[solver]") {
  const auto network = two_bodies(constant_source(12));
  for (const double time : {600.0, 7200.0, 90000.0}) {
    Heat watcher;
    const auto summary = run(network, time, 1e-4, watcher);
    REQUIRE(summary.completed);
    const auto exact = warming(12, time);
    CHECK(watcher.state.enthalpy[0] / 2000 + zero_celsius - air == Approx(exact[0]).margin(3e-5));
    CHECK(watcher.state.enthalpy[1] / 5000 + zero_celsius - air == Approx(exact[1]).margin(3e-5));
    CHECK(watcher.heat[1] == Approx(12 * time).epsilon(1e-12));
    CHECK(summary.closure < 1e-12);
  }
}

TEST_CASE("a heater's schedule is met to its jumps and kinks", "[solver]") {
  mesh::Source steps;
  steps.rows = {{1000, 5}, {3000, 0}, {3500, 20}};
  Heat watcher;
  auto summary = run(two_bodies(steps), 5000, 0.01, watcher);
  REQUIRE(summary.completed);
  CHECK(watcher.heat[1] == Approx(5 * 3000 + 20 * 1500).epsilon(1e-12));
  CHECK(summary.closure < 1e-12);
  const double inner = warming(5, 5000)[0] - warming(5, 2000)[0] + warming(20, 1500)[0];
  CHECK(watcher.state.enthalpy[0] / 2000 + zero_celsius - air == Approx(inner).epsilon(2e-4));

  mesh::Source ramp = steps;
  ramp.stepwise = false;
  summary = run(two_bodies(ramp), 5000, 0.01, watcher);
  REQUIRE(summary.completed);
  CHECK(watcher.heat[1] == Approx(5000 + 5000 + 5000 + 20 * 1500).epsilon(1e-12));
  CHECK(summary.closure < 1e-12);
}

TEST_CASE("a thermostat settles where its heat is what is lost", "[solver]") {
  mesh::Source source = constant_source(20);
  source.law = mesh::SourceLaw::thermostat;
  source.full_up_to = air + 10;
  source.off_from = air + 14;
  const double d = 1e-4;
  for (const double t : {air + 5.0, air + 12.0, air + 20.0}) {
    const auto heat = solver::source_heat(source, t, {});
    const double slope = (solver::source_heat(source, t + d, {}).watt -
                          solver::source_heat(source, t - d, {}).watt) /
                         (2 * d);
    CHECK(heat.by_temperature == Approx(slope).margin(1e-9));
  }
  Heat watcher;
  const auto summary = run(two_bodies(source), 1e6, 0.01, watcher);
  REQUIRE(summary.completed);
  CHECK(summary.closure < 1e-10);
  // 5 (14 − θ) W come in and θ/(1/0.8 + 1/0.3) go out.
  const double lost = 1 / (1 / 0.8 + 1 / 0.3);
  CHECK(watcher.state.enthalpy[0] / 2000 + zero_celsius - air ==
        Approx(5 * 14 / (5 + lost)).epsilon(1e-4));
  // The derivative is in the Jacobian: without it Newton would not settle in two or so a stage.
  CHECK(summary.newton_iterations < 5 * (summary.steps + summary.rejected));
}

namespace {

/// A slab of 0.1 m and 1 W/m/K whose low face is joined to the ground by 8 W/m2/K, heated at
/// its high face, as a column or as a section one cell or three across.
constexpr double thickness = 0.1, coefficient = 8, heat_flux = 40;

mesh::Network heated_column() {
  auto network =
      test::slab({{test::plain_material(1, 1000, 1000), thickness, 20}}, air, coefficient, 0);
  network.links.pop_back();
  auto source = constant_source(heat_flux);
  source.hub = 1;
  source.path = 1;
  network.sources = {source};
  return network;
}

mesh::Network heated_section(int across) {
  test::PlaneSection s;
  s.materials = {test::plain_material(1, 1000, 1000)};
  s.start = air;
  s.plan.open = {false, false, true, true};
  s.plan.breadth = {1};
  s.plan.x = s.plan.z = {0};
  test::add_even(s.plan.x, 1, across);
  test::add_even(s.plan.z, thickness, 20);
  std::vector<mesh::section::GridSurface> heated;
  s.border = [&](const mesh::section::GridSurface& surface) -> test::Border {
    if (surface.low) return {mesh::Outside::ground, coefficient};
    heated.push_back(surface);
    return {};
  };
  auto network = s.build();
  for (const auto& surface : heated) {
    auto source = constant_source(heat_flux * surface.area);
    source.hub = surface.hub;
    source.path = 1;
    network.sources.push_back(source);
  }
  return network;
}

}  // namespace

TEST_CASE("heat at a face crosses a column and a section alike", "[solver][section]") {
  const double steady = heat_flux * (1 / coefficient + thickness);
  Heat column;
  auto summary = run(heated_column(), 3e6, 1e-3, column);
  REQUIRE(summary.completed);
  CHECK(summary.closure < 1e-12);
  CHECK(column.state.surface[1] - air == Approx(steady).epsilon(1e-5));
  for (const int across : {1, 3}) {
    Heat section;
    summary = run(heated_section(across), 3e6, 1e-3, section);
    REQUIRE(summary.completed);
    CHECK(summary.closure < 1e-12);
    CHECK(section.heat[1] == Approx(column.heat[1]).epsilon(1e-12));
    CHECK(section.state.surface.maxCoeff() - air == Approx(steady).epsilon(1e-5));
  }
}

TEST_CASE("a heater in a cell, and one that leaves with its item", "[solver]") {
  auto network = heated_column();
  network.sources[0].hub = -1;
  network.sources[0].cell = 10;
  Heat watcher;
  auto summary = run(network, 3e6, 1e-3, watcher);
  REQUIRE(summary.completed);
  CHECK(summary.closure < 1e-12);
  // Beyond the heated cell no heat flows: all are as warm as its middle.
  CHECK(watcher.state.surface[1] - air ==
        Approx(heat_flux * (1 / coefficient + 10.5 / 20 * thickness)).epsilon(1e-5));

  network.items = {{"heater", false, false, 0, -1, 1, {}, {}}};
  network.sources[0].needs = 0;
  summary = run(network, 1000, 1e-3, watcher);
  REQUIRE(summary.completed);
  CHECK(watcher.heat[1] == 0);
}
