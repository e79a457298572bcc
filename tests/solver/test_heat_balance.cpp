#include <catch2/catch.hpp>
#include <cmath>

#include "cases/read_case.hpp"
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
  balance.evaluate(balance.start_state(), {293.15, 293.15, 0}, rates, nullptr, 0);
  CHECK(rates.cells[0] == Approx(92.79729).epsilon(1e-7));
  CHECK(rates.paths[0] == Approx(92.79729).epsilon(1e-7));
}

// A lid that is shut lets nothing through its opening link; an open one ρ c V n ΔT and σ A ΔT⁴.
TEST_CASE("an opening counts only while the lid is open", "[solver]") {
  auto network = test::lump(test::plain_material(0.6, 1000, 4200), 1, 273.15, 100);
  network.links[0].law = mesh::Law::opening;
  solver::HeatBalance balance(network);
  auto rates = balance.zero_rates();
  balance.evaluate(balance.start_state(), {293.15, 293.15, 0}, rates, nullptr, 0);
  CHECK(rates.cells[0] == 0);
  balance.evaluate(balance.start_state(), {293.15, 293.15, 0.1}, rates, nullptr, 0);
  CHECK(rates.cells[0] == Approx(100 * 0.1 * 20));
}

TEST_CASE("the air of a daily wave is warmest at its hour", "[solver]") {
  solver::Schedule schedule;
  schedule.air = cases::DailyWave{293.15, 6, 9 * 3600.0};
  CHECK(schedule.at(9 * 3600.0, 0).air == Approx(299.15));
  CHECK(schedule.at(21 * 3600.0, 0).air == Approx(287.15));
  CHECK(schedule.at(33 * 3600.0, 0).ground == Approx(299.15));
}

namespace {

/// Left-over of M y − scale·rates(y) by cell and of −left over by surface.
Eigen::VectorXd residual(solver::HeatBalance& balance, const solver::State& y,
                         const solver::Conditions& conditions, double scale) {
  auto rates = balance.zero_rates();
  balance.evaluate(y, conditions, rates, nullptr, 0);
  Eigen::VectorXd all(balance.cells() + balance.hubs());
  all.head(balance.cells()) = y.enthalpy - scale * rates.cells;
  all.tail(balance.hubs()) = -rates.surfaces;
  return all;
}

}  // namespace

// One Newton step from an exact derivative solves a linearised system: J δ must equal the change of
// the residual for a small δ, in every direction tried.
TEST_CASE("the Jacobian is the derivative of the residual", "[solver]") {
  const std::string root = THAWLINE_SOURCE_DIR;
  const auto shelf = cases::read_material_folder(root + "/cases/materials");
  for (const char* name : {"thin-box", "delivery-round", "ice-melt-water-drained"}) {
    INFO(name);
    const auto c = cases::read_case(root + "/cases/examples/" + name + ".yaml", shelf);
    solver::HeatBalance balance(mesh::build_network(c));
    auto y = balance.start_state();
    for (int i = 0; i < balance.cells(); ++i) {
      // Away from kinks: melting cells in the middle of their melt.
      if (balance.curve(i).melts()) {
        y.enthalpy[i] = balance.mass(i) * balance.curve(i).enthalpy_at_fraction(0.37);
      }
    }
    for (int h = 0; h < balance.hubs(); ++h) y.surface[h] = 276 + 0.9 * h;
    balance.place_fronts(y);
    const solver::Conditions conditions{303.15, 301.15, 0.05};
    const double scale = 30;
    auto system = balance.make_system();
    auto rates = balance.zero_rates();
    balance.evaluate(y, conditions, rates, &system, scale);
    const auto& network = balance.network();
    // Column sums are checked through a solve: J⁻¹ (J δ by differences) must give δ back.
    system.factor();
    for (int trial = 0; trial < 4; ++trial) {
      auto moved = y;
      auto back = y;
      for (int i = 0; i < balance.cells(); ++i) {
        const double d = 1e-3 * balance.mass(i) * std::sin(1.0 + 0.7 * i + 2.1 * trial);
        moved.enthalpy[i] += d;
        back.enthalpy[i] -= d;
      }
      for (int h = 0; h < balance.hubs(); ++h) {
        const double d = 1e-6 * std::cos(0.3 * h + trial);
        moved.surface[h] += d;
        back.surface[h] -= d;
      }
      const Eigen::VectorXd change = (residual(balance, moved, conditions, scale) -
                                      residual(balance, back, conditions, scale)) /
                                     2;
      Eigen::VectorXd cells = change.head(network.chain_cells);
      Eigen::VectorXd hubs(balance.hubs());
      for (int h = 0; h < balance.hubs(); ++h) {
        const int cell = network.hubs[static_cast<std::size_t>(h)].cell;
        hubs[h] = cell < 0 ? change[balance.cells() + h] : change[cell];
      }
      system.solve(cells, hubs);
      double worst = 0;
      for (int i = 0; i < network.chain_cells; ++i) {
        worst = std::max(worst, std::abs(cells[i] - (moved.enthalpy[i] - y.enthalpy[i])) /
                                    (1e-3 * balance.mass(i)));
      }
      CHECK(worst < 2e-2);
    }
  }
}
