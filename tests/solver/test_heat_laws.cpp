#include <catch2/catch.hpp>
#include <cmath>

#include "mesh/correlations/closed_gap.hpp"
#include "solver/heat/convection.hpp"
#include "solver/heat/front.hpp"
#include "solver/heat/mixed_cell.hpp"
#include "support/one_column.hpp"

using namespace thawline;

namespace {

/// k 0.0253, ν 1.50e-5, α 2.10e-5, β 1/290.15, g 9.80665: fixed inputs of the worked numbers.
solver::AirFilm worked_film() {
  return {0.0253, 9.80665 / 290.15 / (1.50e-5 * 2.10e-5), 1.50 / 2.10};
}

}  // namespace

// Correlations as printed in Incropera & DeWitt (9.26, 9.30–9.32; from memory), worked by hand.
TEST_CASE("natural convection against worked numbers", "[solver]") {
  CHECK(solver::vertical_plate(worked_film(), 0.4, 10).value == Approx(3.456990).epsilon(1e-6));
  CHECK(solver::unstable_plate(worked_film(), 0.1, 10).value ==
        Approx(17.37963 * 0.253).epsilon(1e-6));
  CHECK(solver::stable_plate(worked_film(), 0.1, 10).value ==
        Approx(8.358356 * 0.253).epsilon(1e-6));
}

TEST_CASE("the slope of a coefficient is its derivative", "[solver]") {
  for (const auto law : {solver::vertical_plate, solver::unstable_plate, solver::stable_plate}) {
    const double d = 1e-5;
    const double slope =
        (law(worked_film(), 0.3, 5 + d).value - law(worked_film(), 0.3, 5 - d).value) / (2 * d);
    CHECK(law(worked_film(), 0.3, 5).slope == Approx(slope).epsilon(1e-5));
  }
}

TEST_CASE("air lies stable over a cold floor and under a warm lid", "[solver]") {
  const auto film = solver::dry_air(288.15);
  const double stable = solver::stable_plate(film, 0.1, 10).value;
  const double unstable = solver::unstable_plate(film, 0.1, 10).value;
  REQUIRE(unstable > 1.2 * stable);
  using mesh::Facing;
  CHECK(solver::natural_convection(Facing::up, 0.1, 283.15, 293.15).value == Approx(stable));
  CHECK(solver::natural_convection(Facing::up, 0.1, 293.15, 283.15).value == Approx(unstable));
  CHECK(solver::natural_convection(Facing::down, 0.1, 293.15, 283.15).value == Approx(stable));
  CHECK(solver::natural_convection(Facing::down, 0.1, 283.15, 293.15).value == Approx(unstable));
}

TEST_CASE("film properties of air against Lemmon's tables", "[solver]") {
  const auto film = solver::dry_air(293.15);
  CHECK(film.conductivity == Approx(0.0258738));
  CHECK(film.prandtl == Approx(0.707956));
}

// ISO 6946:2017 Table 8, unventilated layers, high emissivity (table values from memory).
TEST_CASE("closed air gaps against ISO 6946", "[mesh]") {
  struct Row {
    double thickness, up, sideways, down;
  };
  for (const Row& row : {Row{0.005, 0.11, 0.11, 0.11}, Row{0.015, 0.16, 0.17, 0.17},
                         Row{0.025, 0.16, 0.18, 0.19}, Row{0.1, 0.16, 0.18, 0.22}}) {
    const auto resistance = [&](double c) {
      return std::round(100 / correlations::gap_coefficient(row.thickness, c, 0.9, 283.15).value) /
             100;
    };
    CHECK(resistance(correlations::gap_convection_up()) == Approx(row.up));
    CHECK(resistance(correlations::gap_convection_sideways()) == Approx(row.sideways));
    CHECK(resistance(correlations::gap_convection_down(row.thickness)) == Approx(row.down));
  }
}

TEST_CASE("front resistances are continuous", "[solver]") {
  using solver::FrontPlace;
  const double solid = 1 / 2.2;
  const double liquid = 1 / 0.57;
  for (const auto place : {FrontPlace::liquid_inward, FrontPlace::liquid_outward,
                           FrontPlace::solid_core, FrontPlace::liquid_core}) {
    auto last = solver::front_resistances(place, 0, solid, liquid, 0.001);
    CHECK(last.inner == Approx(0.5 * solid));
    const int pieces = 1000000;
    for (int i = 1; i <= pieces; ++i) {
      const auto r =
          solver::front_resistances(place, static_cast<double>(i) / pieces, solid, liquid, 0.001);
      if (std::abs(r.inner - last.inner) > 2e-3) FAIL("jump at " << i);
      last = r;
    }
    CHECK(last.outer == Approx(0.5 * liquid));
  }
}

TEST_CASE("a mixed cell joins its one-phase states and keeps their heat", "[solver]") {
  const solver::EnthalpyCurve curve(test::rounded_ice());
  const solver::MixedCell cell(curve, {3, 5});
  const auto [from, to] = cell.span();
  CHECK(from == Approx(-3 * 2050.0));
  CHECK(to == Approx(333.4e3 + 5 * 4200.0));
  CHECK(cell.at(std::nextafter(from, to)).temperature == Approx(curve.at(from).temperature));
  CHECK(cell.at(std::nextafter(to, from)).temperature == Approx(curve.at(to).temperature));
  double last_temperature = 0;
  for (int i = 1; i < 20000; ++i) {
    const double h = from + (to - from) * i / 20000;
    const auto state = cell.at(h);
    const double f = state.liquid_fraction;
    CHECK(333.4e3 * f + 5 * 4200 * f * f - 3 * 2050 * (1 - f) * (1 - f) == Approx(h).margin(1e-6));
    CHECK(state.temperature >= last_temperature);
    last_temperature = state.temperature;
    const auto beyond = cell.at(h + 1e-3);
    if (f > 0.0011 && f < 0.9989) {
      CHECK((beyond.liquid_fraction - f) / 1e-3 == Approx(state.fraction_slope).epsilon(1e-4));
    } else if (f < 0.0009 || f > 0.9991) {
      CHECK((beyond.temperature - state.temperature) / 1e-3 == Approx(state.slope).epsilon(1e-4));
    }
  }
}
