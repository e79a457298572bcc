#include <catch2/catch.hpp>

#include "cases/read_material.hpp"
#include "solver/heat/enthalpy_curve.hpp"
#include "support/one_column.hpp"

using namespace thawline;

TEST_CASE("T(h) is monotone and inverse to h(T) for every material", "[solver]") {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  CHECK(shelf.size() >= 30);
  for (const auto& [name, material] : shelf) {
    INFO(name);
    const solver::EnthalpyCurve curve(material);
    double last = -1e9;
    for (double t = 200; t < 340; t += 0.37) {
      const double h = curve.enthalpy_at(t);
      CHECK(h > last);
      last = h;
      CHECK(curve.at(h).temperature == Approx(t).epsilon(1e-10));
      const auto state = curve.at(h);
      CHECK(state.slope >= 0);
      CHECK(state.liquid_fraction >= 0);
      CHECK(state.liquid_fraction <= 1 + 1e-12);
    }
    if (!material.melts()) continue;
    CHECK(curve.at(curve.liquid_from() + 1).liquid_fraction == Approx(1));
    CHECK(curve.melting_enthalpy() > 1e4);
  }
}

// IAPWS R10-06(2009) and IAPWS-95: ice from −20 degC to the melting point takes 40.468 kJ/kg, the
// melt 333.43 kJ/kg, the water to 20 degC 83.936 kJ/kg.
TEST_CASE("water ice holds the enthalpy of the IAPWS formulations", "[solver]") {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  const solver::EnthalpyCurve curve(shelf.at("water_ice"));
  CHECK(-curve.enthalpy_at(253.15) == Approx(40468).epsilon(2e-3));
  CHECK(curve.melting_enthalpy() == Approx(333427).epsilon(5e-4));
  CHECK(curve.enthalpy_at(293.15) - curve.liquid_from() == Approx(83936).epsilon(5e-3));
}

// Lever rule on the phase diagram: 10 % salt, eutectic 23.3 %: 10/23.3 of the mass is eutectic.
TEST_CASE("off-eutectic brine melts by the lever rule", "[solver]") {
  cases::Material brine = test::plain_material(0.5, 1070, 3500);
  cases::LeverMelting lever;
  lever.composition = 0.10;
  lever.eutectic_point = 252.05;
  lever.eutectic_composition = 0.233;
  lever.eutectic_latent_heat = 230e3;
  lever.latent_heat = 333.4e3;
  lever.liquidus = {{{0, 273.15}, {0.10, 266.59}, {0.233, 252.05}}, "test"};
  brine.melting = lever;
  const solver::EnthalpyCurve curve(brine);
  CHECK(curve.at(1).temperature == Approx(252.05));
  CHECK(curve.at(0.1 / 0.233 * 230e3 - 1).temperature == Approx(252.05));
  // Halfway in composition, the liquid is 0.15 salt and two thirds of the mass.
  const double t = 266.59 + (0.15 - 0.10) / 0.133 * (252.05 - 266.59);
  CHECK(curve.at(curve.enthalpy_at(t)).liquid_fraction == Approx(2.0 / 3).epsilon(2e-3));
  CHECK(cases::liquidus_of(brine) == Approx(266.59));
  const double ice = 1 - 0.1 / 0.233;
  const double sensible = 3500 * (266.59 - 252.05);
  CHECK(curve.melting_enthalpy() ==
        Approx(0.1 / 0.233 * 230e3 + ice * 333.4e3 + sensible).epsilon(1e-9));
}
