#include <catch2/catch.hpp>
#include <cmath>

#include "solver/linear/newton_system.hpp"
#include "support/derivatives.hpp"
#include "support/example_section.hpp"

using namespace thawline;
using test::at;

// A section's matrix is symmetric by design: conductances as they are, the change of a front's
// resistance in its own cell's row only. What it promises is held to what differences can tell.

namespace {

constexpr double warm_air = 360, warm_surfaces = 368;  // K
const solver::Conditions conditions{303.15, 301.15, 0.05};

const std::vector<const char*> examples{"thin-box", "ice-melt-water-drained", "must-not-freeze"};

mesh::Network section_of(const char* name) {
  auto c = test::example_section(name);
  c.run.section.fineness = 0.3;
  return test::with_constant_properties(c);
}

/// Heat that reaches each unknown, W: cells, then surfaces.
Eigen::VectorXd heat(solver::HeatBalance& balance, const solver::State& y) {
  auto rates = balance.zero_rates();
  balance.evaluate(y, conditions, rates);
  Eigen::VectorXd all(balance.cells() + balance.hubs());
  all << rates.cells, rates.surfaces;
  return all;
}

/// −∂(heat)/∂(temperature) with the grid's resistances held: of a cell by its enthalpy, whose slope
/// is known.
Eigen::MatrixXd conductances_by_differences(solver::HeatBalance& balance, const solver::State& y) {
  const int n = balance.cells() + balance.hubs();
  Eigen::MatrixXd full = Eigen::MatrixXd::Zero(n, n);
  for (int j = 0; j < n; ++j) {
    if (!test::is_unknown(balance, j)) continue;
    const double slope = j < balance.cells() ? balance.cell_states().slope[at(j)] : 1;
    if (slope <= 0) continue;
    auto up = y;
    auto down = y;
    test::unknown(up, j) += 1e-4 / slope;
    test::unknown(down, j) -= 1e-4 / slope;
    full.col(j) = (heat(balance, down) - heat(balance, up)) /
                  ((test::unknown(up, j) - test::unknown(down, j)) * slope);
  }
  return full;
}

/// The conductances that the balance notes, as a matrix.
Eigen::MatrixXd noted(const solver::HeatBalance& balance, const std::vector<double>& couplings) {
  const int n = balance.cells() + balance.hubs();
  Eigen::MatrixXd full = Eigen::MatrixXd::Zero(n, n);
  const auto pairs = balance.coupled_pairs();
  for (std::size_t k = 0; k < pairs.size(); ++k) {
    const auto [a, b] = pairs[k];
    full(a, a) += couplings[k];
    if (b < 0) continue;
    full(b, b) += couplings[k];
    full(a, b) -= couplings[k];
    full(b, a) -= couplings[k];
  }
  return full;
}

}  // namespace

TEST_CASE("a section's conductances are the symmetric part of the exact derivative",
          "[solver][section]") {
  for (const char* name : examples) {
    INFO(name);
    solver::HeatBalance balance(section_of(name));
    const auto y = test::melting_state(balance, warm_air, warm_surfaces);
    balance.place_fronts(y);
    auto rates = balance.zero_rates();
    std::vector<double> couplings;
    balance.evaluate(y, conditions, rates);
    balance.conductances(couplings);
    balance.hold_fronts(true);
    const auto ours = noted(balance, couplings);
    const auto exact = conductances_by_differences(balance, y);
    double worst = 0;
    for (int j = 0; j < ours.cols(); ++j) {
      for (int i = 0; i < j; ++i) {
        if (ours(i, j) == 0 && exact(i, j) == 0) continue;
        // A cell in an isothermal melt has no temperature to vary: its column is not known.
        const bool by_i = i >= balance.cells() || balance.cell_states().slope[at(i)] > 0;
        const bool by_j = j >= balance.cells() || balance.cell_states().slope[at(j)] > 0;
        if (!by_i || !by_j) continue;
        const double symmetric = (exact(i, j) + exact(j, i)) / 2;
        worst = std::max(worst, std::abs(ours(i, j) - symmetric) / std::abs(symmetric));
      }
    }
    CHECK(worst < 1e-6);
  }
}

TEST_CASE("a cell of a section counts how its own front moves", "[solver][section]") {
  for (const char* name : {"thin-box", "must-not-freeze", "slabs-and-drinks"}) {
    INFO(name);
    solver::HeatBalance balance(section_of(name));
    const auto y = test::melting_state(balance, warm_air, warm_surfaces);
    balance.place_fronts(y);
    auto rates = balance.zero_rates();
    std::vector<double> couplings;
    balance.evaluate(y, conditions, rates);
    balance.conductances(couplings);
    const auto conductance = noted(balance, couplings);
    const auto slopes = balance.cell_states().slope;
    std::vector<double> own(at(balance.cells()));
    for (int i = 0; i < balance.cells(); ++i) own[at(i)] = balance.faces().own_slope(i);
    const auto& grid = balance.network().grid;
    int moving = 0;
    double worst = 0;
    for (int i = grid.first; i < grid.first + grid.count; ++i) {
      auto up = y;
      auto down = y;
      const double d = 0.1 * balance.mass(i);
      up.enthalpy[i] += d;
      down.enthalpy[i] -= d;
      const double exact =
          (heat(balance, up)[i] - heat(balance, down)[i]) / (up.enthalpy[i] - down.enthalpy[i]);
      const double ours = own[at(i)] - conductance(i, i) * slopes[at(i)];
      moving += own[at(i)] != 0 ? 1 : 0;
      worst = std::max(worst, std::abs(ours - exact) / std::abs(exact));
    }
    CHECK(moving > 10);
    CHECK(worst < 1e-5);
  }
}

TEST_CASE("the linear system of a section is solved as it is written", "[solver][section]") {
  for (const char* name : examples) {
    for (const auto method : {solver::LinearMethod::cholesky, solver::LinearMethod::multigrid}) {
      INFO(name);
      solver::HeatBalance balance(section_of(name));
      const auto& network = balance.network();
      const auto y = test::melting_state(balance, 279, 276);
      balance.place_fronts(y);
      const auto system = solver::make_newton_system(balance, method);
      auto rates = balance.zero_rates();
      const double scale = 30;
      std::vector<double> couplings;
      balance.evaluate(y, conditions, rates);
      balance.conductances(couplings);
      const auto k = noted(balance, couplings);
      const int n = balance.cells() + balance.hubs();
      system->assemble(balance, scale);
      Eigen::VectorXd residual = Eigen::VectorXd::Zero(n);
      for (int i = 0; i < n; ++i) {
        if (test::is_unknown(balance, i)) residual[i] = std::sin(1 + 0.7 * i);
      }
      Eigen::VectorXd change = residual;
      REQUIRE(system->solve(change, 1e-12));
      Eigen::VectorXd warmer = change;
      for (int i = 0; i < balance.cells(); ++i) warmer[i] *= balance.cell_states().slope[at(i)];
      const Eigen::VectorXd flow = k * warmer;
      double worst = 0;
      for (int i = 0; i < n; ++i) {
        if (!test::is_unknown(balance, i)) continue;
        double left = flow[i];
        if (i < balance.cells()) {
          const bool melts = balance.cell_states().slope[at(i)] <= 0;
          const bool in_grid =
              i >= network.grid.first && i < network.grid.first + network.grid.count;
          const double own = in_grid ? scale * balance.faces().own_slope(i) : 0;
          left = change[i] * (melts ? std::max(0.5, 1 - own) : 1 + std::max(0.0, -own)) +
                 scale * flow[i];
        }
        worst = std::max(worst, std::abs(left - residual[i]));
      }
      CHECK(worst < 1e-6);
    }
  }
}
