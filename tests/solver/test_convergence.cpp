#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "support/one_column.hpp"

using namespace thawline;

namespace {

solver::State wave_end(int steps, double accuracy) {
  const solver::Schedule schedule = test::half_a_daily_wave();
  solver::HeatBalance balance(test::wet_slab());
  solver::MarchOptions options;
  options.accuracy = accuracy;
  options.longest_step = 1e9;
  if (steps > 0) options.fixed_step = schedule.duration / steps;
  test::LastState last;
  const auto summary = solver::march(balance, schedule, options, last);
  REQUIRE(summary.completed);
  CHECK(summary.closure < 1e-12);
  return last.state;
}

}  // namespace

TEST_CASE("second order in time on a smooth problem", "[solver]") {
  const solver::State exact = wave_end(4096, 1e-4);
  std::vector<double> errors;
  for (const int steps : {32, 64, 128, 256}) {
    errors.push_back((wave_end(steps, 1e-6).enthalpy - exact.enthalpy).norm());
  }
  for (std::size_t i = 1; i < errors.size(); ++i) {
    const double order = std::log2(errors[i - 1] / errors[i]);
    INFO("step halving " << i << ": order " << order);
    CHECK(order >= 1.9);
  }
}

// Plane wall with convection on both sides, exact series (Incropera & DeWitt, Fundamentals of Heat
// and Mass Transfer, 5.5): Bi = 1, Fo = 0.5: θ at the surface 0.504522, heat lost 0.318895.
TEST_CASE("plane wall with convection converges at second order to the series", "[solver]") {
  const double half = 0.05;
  const double conductivity = 0.5;
  const double capacity = 1000.0 * 2000;
  const double time = 0.5 * half * half / (conductivity / capacity);
  std::vector<double> errors;
  for (const int cells : {10, 20, 40}) {
    solver::HeatBalance balance(
        test::slab({{test::plain_material(conductivity, 1000, 2000), 2 * half, 2 * cells}}, 313.15,
                   conductivity / half, conductivity / half));
    solver::MarchOptions options;
    options.accuracy = 1e-4;
    test::LastState last;
    const auto schedule = test::steady_schedule(273.15, 273.15, time);
    const auto summary = solver::march(balance, schedule, options, last);
    REQUIRE(summary.completed);
    const double lost = -summary.stored / (capacity * 2 * half * 40);
    const double surface = (last.state.surface[0] - 273.15) / 40;
    errors.push_back(std::abs(surface - 0.504522));
    CHECK(lost == Approx(0.318895).epsilon(2e-3));
  }
  INFO("errors " << errors[0] << " " << errors[1] << " " << errors[2]);
  CHECK(errors[2] < 2e-4);
  CHECK(std::log2(errors[0] / errors[1]) >= 1.8);
  CHECK(std::log2(errors[1] / errors[2]) >= 1.8);
}

// HDPE 2 mm / PU 40 mm / HDPE 2 mm between films 0.13 and 0.04 m2K/W (ISO 6946): series of
// resistances, exact on the grid: q = 15.645667 W/m2.
TEST_CASE("composite wall, steady", "[solver]") {
  const auto skin = test::plain_material(0.48, 955, 1900);
  const auto foam = test::plain_material(0.023, 35, 1400);
  solver::HeatBalance balance(test::slab({{skin, 0.002, 2}, {foam, 0.04, 16}, {skin, 0.002, 2}},
                                         283.15, 1 / 0.13, 1 / 0.04));
  solver::MarchOptions options;
  options.accuracy = 1e-6;
  options.longest_step = 1e9;
  test::LastState last;
  const auto schedule = test::steady_schedule(303.15, 273.15, 30 * 86400.0);
  REQUIRE(solver::march(balance, schedule, options, last).completed);
  const double resistance = 0.13 + 2 * 0.002 / 0.48 + 0.04 / 0.023 + 0.04;
  const double flux = 30 / resistance;
  CHECK(flux == Approx(15.645667).epsilon(1e-7));
  CHECK(last.rates.paths[1] == Approx(flux).epsilon(1e-8));
  CHECK(last.rates.paths[0] == Approx(-flux).epsilon(1e-8));
  CHECK(last.state.surface[0] - 273.15 == Approx(2.033937).epsilon(1e-6));
}
