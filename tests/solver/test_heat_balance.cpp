#include <catch2/catch.hpp>

#include "solver/march/schedule.hpp"
#include "support/one_column.hpp"

using namespace thawline;

// Small grey body (ε 0.9, 1 m2, 0 degC) in large surroundings at 20 degC: ε σ (T⁴ − T⁴) =
// 92.79729 W, computed with σ = 5.670374419e-8 W/m2/K4.
TEST_CASE("long-wave exchange against Stefan and Boltzmann", "[solver]") {
  auto network = test::lump(test::plain_material(0.6, 1000, 4200), 1, 273.15, 0);
  network.links[0].law = mesh::Law::radiation;
  network.links[0].area = 0.9;
  solver::HeatBalance balance(network);
  auto rates = balance.zero_rates();
  balance.evaluate(balance.start_state(), {293.15, 293.15, 0}, rates);
  CHECK(rates.cells[0] == Approx(92.79729).epsilon(1e-7));
  CHECK(rates.paths[0] == Approx(92.79729).epsilon(1e-7));
}

// A lid that is shut lets nothing through its opening link; an open one ρ c V n ΔT and σ A ΔT⁴.
TEST_CASE("an opening counts only while the lid is open", "[solver]") {
  auto network = test::lump(test::plain_material(0.6, 1000, 4200), 1, 273.15, 100);
  network.links[0].law = mesh::Law::opening;
  solver::HeatBalance balance(network);
  auto rates = balance.zero_rates();
  balance.evaluate(balance.start_state(), {293.15, 293.15, 0}, rates);
  CHECK(rates.cells[0] == 0);
  balance.evaluate(balance.start_state(), {293.15, 293.15, 0.1}, rates);
  CHECK(rates.cells[0] == Approx(100 * 0.1 * 20));
}

TEST_CASE("the air of a daily wave is warmest at its hour", "[solver]") {
  solver::Schedule schedule;
  schedule.air = cases::DailyWave{293.15, 6, 9 * 3600.0};
  CHECK(schedule.at(9 * 3600.0, 0).air == Approx(299.15));
  CHECK(schedule.at(21 * 3600.0, 0).air == Approx(287.15));
  CHECK(schedule.at(33 * 3600.0, 0).ground == Approx(299.15));
}
