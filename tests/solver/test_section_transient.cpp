#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "support/plane_section.hpp"

using namespace thawline;
using mesh::Outside;
using mesh::section::GridSurface;
using std::numbers::pi;
using test::zero_celsius;

namespace {

struct Outcome {
  solver::Summary summary;
  solver::State state;
  double mean = 0;  ///< degC, by volume
};

Outcome run(solver::HeatBalance& balance, const solver::Schedule& schedule, double accuracy) {
  solver::MarchOptions options;
  options.accuracy = accuracy;
  test::LastState last;
  Outcome outcome;
  outcome.summary = solver::march(balance, schedule, options, last);
  REQUIRE(outcome.summary.completed);
  CHECK(outcome.summary.closure <= 1e-9);
  outcome.state = last.state;
  double volume = 0;
  for (int i = 0; i < balance.cells(); ++i) {
    const double v = balance.network().cells[static_cast<std::size_t>(i)].volume;
    outcome.mean += v * (balance.thermal_state(last.state, i).temperature - zero_celsius);
    volume += v;
  }
  outcome.mean /= volume;
  return outcome;
}

std::vector<double> even(double length, int cells) {
  std::vector<double> lines{0};
  test::add_even(lines, length, cells);
  return lines;
}

void check_second_order(const std::vector<double>& errors) {
  for (std::size_t i = 1; i < errors.size(); ++i) {
    INFO("errors " << errors[i - 1] << " and " << errors[i]);
    CHECK(std::log2(std::abs(errors[i - 1] / errors[i])) >= 1.9);
  }
}

}  // namespace

// Product of cylinder and plane wall series (Incropera & DeWitt 5.8; 60 terms): radius 33 mm,
// height 115 mm, 12 W/m2/K all round, from 25 into 5 degC: mean 15.12487 degC after an hour.
TEST_CASE("a short cylinder cools by the product solution, at second order", "[solver][section]") {
  std::vector<double> errors;
  for (const int n : {4, 8, 16}) {
    test::PlaneSection s;
    s.plan.round = true;
    s.plan.open = {false, true, false, true};
    s.plan.x = even(0.033, n);
    s.plan.z = even(0.0575, n);
    s.materials = {test::plain_material(0.6, 1000, 4200)};
    s.start = zero_celsius + 25;
    s.border = [](const GridSurface&) { return test::Border{Outside::air, 12}; };
    solver::HeatBalance balance(s.build());
    const auto outcome =
        run(balance, test::steady_schedule(zero_celsius + 5, zero_celsius, 3600), 2e-3);
    errors.push_back(outcome.mean - 15.12487);
  }
  CHECK(std::abs(errors.back()) < 0.01);
  check_second_order(errors);
}

// Two plane walls of Bi = 1 and Fo = 0.5: mean θ = (1 − 0.318895)².
TEST_CASE("a bar cools by the product solution, at second order", "[solver][section]") {
  const double half = 0.05;
  const double conductivity = 0.5;
  const double time = 0.5 * half * half / (conductivity / 2e6);
  std::vector<double> errors;
  for (const int n : {4, 8, 16}) {
    test::PlaneSection s;
    s.plan.depth = 1;
    s.plan.open = {false, true, false, true};
    s.plan.x = s.plan.z = even(half, n);
    s.materials = {test::plain_material(conductivity, 1000, 2000)};
    s.start = zero_celsius + 20;
    s.border = [&](const GridSurface&) { return test::Border{Outside::air, conductivity / half}; };
    solver::HeatBalance balance(s.build());
    const auto outcome =
        run(balance, test::steady_schedule(zero_celsius, zero_celsius, time), 2e-3);
    errors.push_back(outcome.mean / 20 - std::pow(1 - 0.318895, 2));
  }
  check_second_order(errors);
}

// Neumann's two-phase melt of ice at −20 degC by a wall at +20 degC (Carslaw & Jaeger 11.2), front
// at 2 · 0.2558008 √(a t), along either axis of a grid.
TEST_CASE("a plane front crosses a grid as it crosses a column", "[solver][section]") {
  const auto axis = GENERATE(0, 1);
  test::PlaneSection s;
  s.plan.depth = 1;
  s.plan.open = {axis == 0, false, axis == 1, false};
  std::vector<double> across = even(0.03, 30);
  test::add_graded(across, 0.8, 1e-3, 2e-2, 1.05);
  s.plan.x = axis == 0 ? across : even(0.01, 3);
  s.plan.z = axis == 1 ? across : even(0.01, 3);
  s.materials = {test::rounded_ice()};
  s.start = zero_celsius - 20;
  s.border = [](const GridSurface&) { return test::Border{Outside::ground, 1e6}; };
  solver::HeatBalance balance(s.build());
  const double until = 3600;
  const auto outcome =
      run(balance, test::steady_schedule(zero_celsius, zero_celsius + 20, until), 0.02);
  double front = 0;
  for (int i = 0; i < balance.cells(); ++i) {
    front += balance.thermal_state(outcome.state, i).liquid_fraction *
             balance.network().cells[static_cast<std::size_t>(i)].volume / 0.01;
  }
  const double exact = 2 * 0.2558008 * std::sqrt(0.57 / (917 * 4200.0) * until);
  CHECK(front == Approx(exact).epsilon(2e-3));
}

// Line sink of 100 W/m in water at +10 degC (Carslaw & Jaeger 11.6): R = 2 · 0.1172952 √(a t),
// 15.22689 mm after an hour. The sink is imposed at 1 mm: the exact line heat there, first that of
// water, then that of ice once the front has passed.
TEST_CASE("ice grows round a line sink by the similarity solution", "[solver][section]") {
  const double inner = 1e-3;
  const double ice_diffusivity = 2.2 / (917 * 2050.0);
  const double water_diffusivity = 0.57 / (917 * 4200.0);
  const double lambda = 0.1172952;
  const auto e1 = [](double x) { return -std::expint(-x); };
  cases::Trace sink;
  const double gain = 1e-6;  // W/K for each metre: the sink is colder than all by 1e8 K
  for (double t = 0; t <= 3600; t += t < 20 ? 0.1 : 5) {
    const double front = 2 * lambda * std::sqrt(ice_diffusivity * t);
    double heat = 0;
    if (front > inner) {
      heat = 100 * std::exp(-inner * inner / (4 * ice_diffusivity * t));
    } else if (t > 0) {
      heat = 4 * pi * 0.57 * 10 * std::exp(-inner * inner / (4 * water_diffusivity * t)) /
             e1(lambda * lambda * ice_diffusivity / water_diffusivity);
    }
    sink.time.push_back(t);
    sink.temperature.push_back(zero_celsius - heat / gain);
  }
  test::PlaneSection s;
  s.plan.round = true;
  s.plan.open = {false, true, false, false};
  s.plan.x = {0, inner};
  test::add_even(s.plan.x, 0.03, 58);
  test::add_graded(s.plan.x, 0.2, 0.5e-3, 5e-3, 1.1);
  s.plan.z = {0, 0.5, 1};
  s.materials = {test::rounded_ice()};
  s.material = [&](double r, double) { return r < inner ? -1 : 0; };
  s.start = zero_celsius + 10;
  s.border = [&](const GridSurface& surface) {
    if (surface.beyond == mesh::section::outside) return test::Border{};
    return test::Border{Outside::air, gain / (2 * pi * inner)};
  };
  solver::HeatBalance balance(s.build());
  solver::Schedule schedule;
  schedule.air = sink;
  schedule.duration = 3600;
  const auto outcome = run(balance, schedule, 0.05);
  double frozen = 0;
  for (int i = 0; i < balance.cells(); ++i) {
    frozen += (1 - balance.thermal_state(outcome.state, i).liquid_fraction) *
              balance.network().cells[static_cast<std::size_t>(i)].volume;
  }
  const double radius = std::sqrt(frozen / pi + inner * inner);
  CHECK(radius == Approx(15.22689e-3).epsilon(5e-3));
}
