#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "cases/read_case.hpp"
#include "solver/heat/drink_film.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

// Recommended table of Tanaka et al., Metrologia 38 (2001) 301, kg/m3; at 60 degC IAPWS-95.
TEST_CASE("water is as heavy as the published tables say", "[solver]") {
  CHECK(solver::water_density(273.15) == Approx(999.8428).margin(1e-3));
  CHECK(solver::water_density(277.15) == Approx(999.9749).margin(1e-3));
  CHECK(solver::water_density(283.15) == Approx(999.7026).margin(1e-3));
  CHECK(solver::water_density(293.15) == Approx(998.2067).margin(1e-3));
  CHECK(solver::water_density(313.15) == Approx(992.2152).margin(1e-3));
  CHECK(solver::water_density(333.15) == Approx(983.1958).margin(0.02));
}

// Churchill & Chu 1975 worked by hand: water at 20 degC against a wall at 16 degC, both above the
// greatest density; λ, ν and α at 18 degC from IAPWS.
TEST_CASE("a drink turns over as an upright plate does", "[solver]") {
  const double height = 0.115;
  const double rayleigh = 9.80665 *
                          (solver::water_density(289.15) - solver::water_density(293.15)) /
                          999.975 * std::pow(height, 3) / (1.05415e-6 * 1.42215e-7);
  const double prandtl = 1.05415e-6 / 1.42215e-7;
  const double plate = 0.594418 / height * 0.670 * std::pow(rayleigh, 0.25) /
                       std::pow(1 + std::pow(0.492 / prandtl, 9.0 / 16), 4.0 / 9);
  const double still = 2.4048 * 2.4048 * 0.594418 / 0.066;
  const double both = std::pow(std::pow(plate, 4) + std::pow(still, 4), 0.25);
  const auto film = solver::drink_film(height, 0.066, 289.15, 293.15);
  CHECK(film.q == Approx(-4 * both).epsilon(1e-6));
  CHECK(both > plate);
}

TEST_CASE("a drink as warm as its wall only conducts", "[solver]") {
  const auto film = solver::drink_film(0.115, 0.066, 283.15, 283.15);
  CHECK(film.q == 0.0);
  CHECK(film.by_a == Approx(2.4048 * 2.4048 * 0.578777 / 0.066).epsilon(1e-9));
}

TEST_CASE("the derivatives of a drink's film are those of its flux", "[solver]") {
  constexpr double apart = 1e-4;
  for (const double drink : {263.0, 274.0, 281.0, 299.0}) {
    for (const double wall : {255.0, 272.9, 275.6, 279.4, 290.0, 330.0}) {
      INFO("wall " << wall << " K, drink " << drink << " K");
      const auto flux = [&](double a, double b) { return solver::drink_film(0.2, 0.07, a, b).q; };
      const auto film = solver::drink_film(0.2, 0.07, wall, drink);
      const double by_a = (flux(wall + apart, drink) - flux(wall - apart, drink)) / (2 * apart);
      const double by_b = (flux(wall, drink + apart) - flux(wall, drink - apart)) / (2 * apart);
      CHECK(film.by_a == Approx(by_a).epsilon(1e-5));
      CHECK(film.by_b == Approx(by_b).epsilon(1e-5));
      CHECK(film.by_a > 0);
      CHECK(film.by_b < 0);
    }
  }
}

namespace {

/// Minutes until a can of 25 degC is at 5 degC.
double minutes_to_chill(const std::string& coolant, const std::string& air,
                        const std::string& shell) {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  const auto c = cases::read_case_text(
      "case.yaml",
      "title: can\n"
      "box:\n"
      "  inside: {length: 40 cm, width: 40 cm, height: 30 cm}\n"
      "  wall: [{material: xps, thickness: 10 cm}]\n" +
          coolant +
          "payload: [{name: drinks, contents: cola, start: 25 degC,\n"
          "  cans: {count: 4, volume: 0.33 L, diameter: 66 mm, height: 115 mm" +
          shell +
          "}}]\n"
          "surroundings: {air: " +
          air +
          "}\n"
          "limits: [{name: chilled, probe: drinks, not_above: 5 degC}]\n"
          "run: {duration: 12 h}\n",
      shelf);
  const auto result = solver::run_case(c);
  REQUIRE(result.summary.completed);
  return result.limits[0].chill_time / 60;
}

}  // namespace

// Common practice, no source: 20 to 40 min from 25 to 5 degC. The worked problem of Cengel & Ghajar
// (Heat and Mass Transfer, 5th ed., ch. 4: 11.1 min at 120 W/m2/K) stirs the drink; an unstirred
// one takes longer.
TEST_CASE("a can in ice and water is cold in a quarter to three quarters of an hour", "[solver]") {
  const std::string ice =
      "coolant: [{name: ice, material: water_ice, amount: 15 kg, form: loose, "
      "start_liquid_fraction: 0.3}]\n";
  const double bare = minutes_to_chill(ice, "20 degC", "");
  const double thin =
      minutes_to_chill(ice, "20 degC", ", shell: {material: aluminium, thickness: 0.1 mm}");
  const double glass =
      minutes_to_chill(ice, "20 degC", ", shell: {material: glass, thickness: 3 mm}");
  INFO(bare << " min, in aluminium " << thin << " min, in glass " << glass << " min");
  CHECK(bare > 15);
  CHECK(bare < 40);
  // A tenth of a millimetre of aluminium adds 1 % of heat capacity and no resistance.
  CHECK(thin == Approx(bare).epsilon(0.03));
  CHECK(glass > 1.1 * bare);
}
