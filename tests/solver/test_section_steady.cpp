#include <omp.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "solver/march/steady_state.hpp"
#include "support/plane_section.hpp"

using namespace thawline;
using mesh::Outside;
using std::numbers::pi;

namespace {

constexpr double isothermal = 1e6;  // W/m2/K

/// Heat from the ground (at 1 degC) to the air (at 0 degC), W.
double flow_between(test::PlaneSection& section,
                    solver::LinearMethod method = solver::LinearMethod::by_structure) {
  solver::HeatBalance balance(section.build());
  const auto steady =
      solver::steady_state(balance, {test::zero_celsius, test::zero_celsius + 1, 0}, 1e-9, method);
  REQUIRE(steady.found);
  CHECK(steady.rates.paths[0] == Approx(-steady.rates.paths[1]).epsilon(1e-6));
  return steady.rates.paths[0];
}

/// A quarter of a square annulus: inner side 1 about (0, 0), outer side `ratio`, k = 1, depth 1.
/// `n` even cells on half the inner side, or graded when `smallest` > 0.
double annulus(double ratio, int n, double smallest = 0, double growth = 1.2) {
  test::PlaneSection s;
  s.plan.breadth.at_middle = 1;
  s.plan.open = {false, true, false, true};
  std::vector<double> lines{0};
  if (smallest > 0) {
    test::add_graded(lines, 0.5, 0.05, smallest, growth);
    test::add_graded(lines, ratio / 2, smallest, 0.05, growth);
  } else {
    test::add_even(lines, 0.5, n);
    test::add_even(lines, ratio / 2, static_cast<int>(std::lround(n * (ratio - 1))));
  }
  s.plan.x = s.plan.z = lines;
  s.materials = {test::plain_material(1, 1000, 1000)};
  s.material = [](double x, double z) { return x < 0.5 && z < 0.5 ? -1 : 0; };
  s.border = [](const mesh::section::GridSurface& surface) {
    return test::Border{surface.beyond == mesh::section::nothing ? Outside::ground : Outside::air,
                        isothermal};
  };
  return 4 * flow_between(s);
}

}  // namespace

// Conduction shape factors by Schwarz-Christoffel maps; the edge term 1 − 2 ln2/π is exact.
TEST_CASE("square annulus and the edge of two walls on a graded grid", "[solver][section]") {
  CHECK(annulus(2, 0, 1e-4, 1.1) == Approx(10.2340926).epsilon(1e-3));
  const double wide = annulus(1.5, 0, 1e-4, 1.1);
  const double exact_edge = 1 - 2 * std::numbers::ln2 / pi;
  CHECK((wide - 4 * 1 / 0.25) / 4 == Approx(exact_edge).epsilon(1e-3));
}

TEST_CASE("a re-entrant corner converges as h^(4/3) on even grids", "[solver][section]") {
  const double exact = 10.2340926;
  const double coarse = std::abs(annulus(2, 8) - exact);
  const double middle = std::abs(annulus(2, 16) - exact);
  const double fine = std::abs(annulus(2, 32) - exact);
  CHECK(std::log2(coarse / middle) == Approx(4.0 / 3).margin(0.12));
  CHECK(std::log2(middle / fine) == Approx(4.0 / 3).margin(0.12));
}

namespace {

/// Temperature in the middle of a unit square with 1 degC on z = 0 and 0 degC on the other sides:
/// by symmetry a quarter.
double middle_of_square(int n) {
  test::PlaneSection s;
  s.plan.breadth.at_middle = 1;
  s.plan.open = {true, true, true, true};
  std::vector<double> lines{0};
  test::add_even(lines, 1, n);
  s.plan.x = s.plan.z = lines;
  s.materials = {test::plain_material(1, 1000, 1000)};
  s.border = [](const mesh::section::GridSurface& surface) {
    return test::Border{surface.axis == 1 && surface.low ? Outside::ground : Outside::air,
                        isothermal};
  };
  solver::HeatBalance balance(s.build());
  const auto steady =
      solver::steady_state(balance, {test::zero_celsius, test::zero_celsius + 1, 0}, 1e-10);
  REQUIRE(steady.found);
  const int middle = balance.network().grid.cell[static_cast<std::size_t>((n / 2) * n + n / 2)];
  return balance.thermal_state(steady.state, middle).temperature - test::zero_celsius;
}

/// Cylinder shell of radii 1 and 2, height 1, k = 1: flow 2π/ln 2.
double cylinder(int n) {
  test::PlaneSection s;
  s.plan.round = true;
  s.plan.breadth = mesh::breadth_of_round();
  s.plan.open = {false, true, false, false};
  s.plan.x = {0, 1};
  test::add_even(s.plan.x, 2, n);
  s.plan.z = {0, 1};
  s.materials = {test::plain_material(1, 1000, 1000)};
  s.material = [](double r, double) { return r < 1 ? -1 : 0; };
  s.border = [](const mesh::section::GridSurface& surface) {
    return test::Border{surface.beyond == mesh::section::nothing ? Outside::ground : Outside::air,
                        isothermal};
  };
  return flow_between(s);
}

/// Flow through a unit cube with films of 3 and 1 W/m2/K on two faces and the others insulated.
double plate_flow(int n) {
  test::PlaneSection s;
  s.plan.breadth.at_middle = 1;
  s.plan.open = {false, true, true, true};
  s.plan.x = {0};
  s.plan.z = {0};
  test::add_even(s.plan.x, 1, n);
  test::add_even(s.plan.z, 1, n);
  s.materials = {test::plain_material(1, 1000, 1000)};
  s.border = [](const mesh::section::GridSurface& surface) {
    if (surface.axis == 1) {
      return surface.low ? test::Border{Outside::ground, 3.0} : test::Border{Outside::air, 1.0};
    }
    return test::Border{};
  };
  return flow_between(s);
}

}  // namespace

TEST_CASE("smooth sections are exact or of second order", "[solver][section]") {
  CHECK(middle_of_square(9) == Approx(0.25).epsilon(1e-8));
  const double films = 1 / (2 * pi * isothermal) + 1 / (4 * pi * isothermal);
  CHECK(cylinder(3) == Approx(1 / (std::numbers::ln2 / (2 * pi) + films)).epsilon(1e-7));
  CHECK(plate_flow(4) == Approx(1 / (1 / 3.0 + 1 + 1)).epsilon(1e-8));
}

TEST_CASE("conjugate gradients and Cholesky find the same flow", "[solver][section]") {
  test::PlaneSection s;
  s.plan.breadth.at_middle = 1;
  s.plan.open = {false, true, false, true};
  std::vector<double> lines{0};
  test::add_graded(lines, 0.5, 0.05, 1e-3, 1.2);
  test::add_graded(lines, 1, 1e-3, 0.05, 1.2);
  s.plan.x = s.plan.z = lines;
  s.materials = {test::plain_material(0.03, 30, 1400), test::plain_material(50, 7800, 450)};
  s.material = [](double x, double z) {
    if (x < 0.5 && z < 0.5) return -1;
    return std::max(x, z) < 0.52 ? 1 : 0;
  };
  s.border = [](const mesh::section::GridSurface& surface) {
    return test::Border{surface.beyond == mesh::section::nothing ? Outside::ground : Outside::air,
                        8};
  };
  auto other = s;
  CHECK(flow_between(s, solver::LinearMethod::multigrid) ==
        Approx(flow_between(other, solver::LinearMethod::cholesky)).epsilon(1e-6));
}

namespace {

/// ISO 10211:2017 Annex A case 2 (inputs and values from memory): a wall of layers with a metal
/// profile behind a mortar joint. Lengths in mm, z upward from the warm face.
test::PlaneSection thermal_bridge() {
  test::PlaneSection s;
  s.plan.breadth.at_middle = 1;
  s.plan.open = {false, false, true, true};
  s.plan.x = {0};
  test::add_even(s.plan.x, 1.5e-3, 3);
  test::add_graded(s.plan.x, 15e-3, 0.5e-3, 0.25e-3, 1.15);
  test::add_graded(s.plan.x, 500e-3, 0.25e-3, 15e-3, 1.15);
  s.plan.z = {0};
  test::add_even(s.plan.z, 1.5e-3, 3);
  test::add_graded(s.plan.z, 35e-3, 0.5e-3, 0.25e-3, 1.15);
  test::add_graded(s.plan.z, 36.5e-3, 0.25e-3, 0.25e-3, 1.15);
  test::add_graded(s.plan.z, 41.5e-3, 0.25e-3, 0.25e-3, 1.15);
  test::add_graded(s.plan.z, 47.5e-3, 0.25e-3, 0.5e-3, 1.15);
  s.materials = {test::plain_material(1.15, 1000, 1000), test::plain_material(0.12, 1000, 1000),
                 test::plain_material(230, 1000, 1000), test::plain_material(0.029, 1000, 1000)};
  s.material = [](double x, double z) {
    const double y = 47.5e-3 - z;  // down from the cold face
    if (y < 6e-3) return 0;
    if (x < 15e-3 && y < 11e-3) return 1;
    if (x < 15e-3 && y < 12.5e-3) return 2;
    if (x < 1.5e-3 && y < 46e-3) return 2;
    return y > 46e-3 ? 2 : 3;
  };
  s.border = [](const mesh::section::GridSurface& surface) {
    return surface.low ? test::Border{Outside::ground, 1 / 0.11}
                       : test::Border{Outside::air, 1 / 0.06};
  };
  return s;
}

}  // namespace

TEST_CASE("a metal profile in a wall (ISO 10211 case 2, values from memory)", "[solver][section]") {
  auto s = thermal_bridge();
  solver::HeatBalance balance(s.build());
  const auto steady =
      solver::steady_state(balance, {test::zero_celsius, test::zero_celsius + 20, 0}, 1e-7);
  REQUIRE(steady.found);
  CHECK(steady.rates.paths[0] == Approx(9.5).margin(0.1));
  CHECK(steady.rates.paths[0] == Approx(9.4909).epsilon(2e-3));
}

namespace {

/// Hot corner of foam and metal with enough cells for several threads.
solver::SteadyState corner_on(int threads, solver::LinearMethod method) {
  omp_set_num_threads(threads);
  test::PlaneSection s;
  s.plan.breadth.at_middle = 1;
  s.plan.open = {false, true, false, true};
  std::vector<double> lines{0};
  test::add_even(lines, 1, method == solver::LinearMethod::cholesky ? 240 : 340);
  s.plan.x = s.plan.z = lines;
  s.materials = {test::plain_material(0.03, 30, 1400), test::plain_material(50, 7800, 450)};
  s.material = [](double x, double z) {
    if (x < 0.3 && z < 0.3) return -1;
    return std::max(x, z) < 0.34 ? 1 : 0;
  };
  s.border = [](const mesh::section::GridSurface& surface) {
    return test::Border{surface.beyond == mesh::section::nothing ? Outside::ground : Outside::air,
                        8};
  };
  solver::HeatBalance balance(s.build());
  return solver::steady_state(balance, {test::zero_celsius, test::zero_celsius + 1, 0}, 1e-6,
                              method);
}

}  // namespace

TEST_CASE("a section has the same bits on one thread and on more", "[solver][section]") {
  const int before = omp_get_max_threads();
  const auto method = GENERATE(solver::LinearMethod::cholesky, solver::LinearMethod::multigrid);
  const auto one = corner_on(1, method);
  const auto more = corner_on(2, method);
  CHECK(one.found);
  CHECK(one.state.enthalpy == more.state.enthalpy);
  CHECK(one.state.surface == more.state.surface);
  CHECK(one.rates.paths == more.rates.paths);
  omp_set_num_threads(before);
}
