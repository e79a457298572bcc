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
    s.plan.breadth = mesh::breadth_of_round();
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
    s.plan.breadth.at_middle = 1;
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
  s.plan.breadth.at_middle = 1;
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
  s.plan.breadth = mesh::breadth_of_round();
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

namespace {

constexpr double corner = 0.05;  ///< m, side of the square that freezes from two walls

/// Frozen share of the square after `until` s by an explicit enthalpy scheme of its own on n × n
/// cells: each cell conducts by the phase it mostly is, fluxes by harmonic means.
double frozen_by_explicit_scheme(int n, double until) {
  const double width = corner / n;
  const double step = 0.2 * width * width / (2.2 / (917 * 2050.0));
  const auto size = static_cast<std::size_t>(n);
  const auto at = [size](std::size_t i, std::size_t k) { return k * size + i; };
  std::vector<double> h(size * size, 333.4e3 + 4200.0 * 10);
  std::vector<double> t(size * size);
  std::vector<double> r(size * size);  // half a cell's resistance, m2 K/W
  const auto steps = static_cast<int>(std::lround(until / step));
  for (int s = 0; s < steps; ++s) {
    for (std::size_t c = 0; c < h.size(); ++c) {
      t[c] = h[c] < 0 ? h[c] / 2050 : std::max(0.0, (h[c] - 333.4e3) / 4200);
      const double liquid = std::clamp(h[c] / 333.4e3, 0.0, 1.0);
      r[c] = width / 2 * ((1 - liquid) / 2.2 + liquid / 0.57);
    }
    const double per = step / (917 * width);
    for (std::size_t k = 0; k < size; ++k) {
      for (std::size_t i = 0; i < size; ++i) {
        const std::size_t c = at(i, k);
        if (i == 0) h[c] += per * (-20 - t[c]) / r[c];
        if (k == 0) h[c] += per * (-20 - t[c]) / r[c];
        for (const std::size_t other :
             {i + 1 < size ? at(i + 1, k) : c, k + 1 < size ? at(i, k + 1) : c}) {
          if (other == c) continue;
          const double flow = per * (t[other] - t[c]) / (r[c] + r[other]);
          h[c] += flow;
          h[other] -= flow;
        }
      }
    }
  }
  double liquid = 0;
  for (const double value : h) liquid += std::clamp(value / 333.4e3, 0.0, 1.0);
  return 1 - liquid / static_cast<double>(size * size);
}

double frozen_by_section(int n, double until) {
  test::PlaneSection s;
  s.plan.breadth.at_middle = 1;
  s.plan.open = {true, false, true, false};
  s.plan.x = s.plan.z = even(corner, n);
  s.materials = {test::rounded_ice()};
  s.start = zero_celsius + 10;
  s.border = [](const GridSurface&) { return test::Border{Outside::ground, 1e6}; };
  solver::HeatBalance balance(s.build());
  const auto outcome =
      run(balance, test::steady_schedule(zero_celsius, zero_celsius - 20, until), 0.05);
  double frozen = 0;
  for (int i = 0; i < balance.cells(); ++i) {
    frozen += 1 - balance.thermal_state(outcome.state, i).liquid_fraction;
  }
  return frozen / balance.cells();
}

}  // namespace

// Water at +10 degC freezes from two walls at −20 degC: the front slants through the grid. Against
// an explicit scheme without a front inside cells, of first order, extrapolated.
TEST_CASE("a corner freezes as by an independent fine scheme", "[solver][section]") {
  const double until = 900;
  const double coarse = frozen_by_explicit_scheme(25, until);
  const double middle = frozen_by_explicit_scheme(50, until);
  const double fine = frozen_by_explicit_scheme(100, until);
  INFO("explicit " << coarse << ", " << middle << ", " << fine);
  CHECK(std::log2((middle - coarse) / (fine - middle)) == Approx(1).margin(0.2));
  const double limit = 2 * fine - middle;
  CHECK(frozen_by_section(20, until) == Approx(limit).epsilon(3e-3));
  CHECK(frozen_by_section(40, until) == Approx(limit).epsilon(1e-3));
}
