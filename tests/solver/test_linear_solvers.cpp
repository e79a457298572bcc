#include <Eigen/Dense>
#include <catch2/catch.hpp>
#include <cmath>
#include <memory>
#include <random>

#include "solver/linear/cholesky_solver.hpp"
#include "solver/linear/column_system.hpp"
#include "solver/linear/multigrid_solver.hpp"
#include "support/plane_section.hpp"

using namespace thawline;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Conductances on a grid with a hole, with a body and a surface at every cell of the grid's lowest
/// row, all surfaces joined to the body or the outside.
struct Problem {
  int cells = 0, unknowns = 0, surfaces_from = 0;
  solver::TensorGrid grid;
  std::vector<std::pair<int, int>> pairs;
  std::vector<double> conductance, diagonal, right;
  std::vector<char> held;

  Problem(int columns, int rows) {
    grid.columns = columns;
    grid.rows = rows;
    std::vector<int> number;
    for (int k = 0; k < rows; ++k) {
      for (int i = 0; i < columns; ++i) {
        const bool hole = i > columns / 2 && k > rows / 3 && k < rows / 2;
        grid.used.push_back(hole ? 0 : 1);
        number.push_back(hole ? -1 : cells++);
      }
    }
    grid.count = cells;
    const int body = cells;
    surfaces_from = cells + 1;
    unknowns = surfaces_from + columns;
    std::mt19937 random(11);
    std::uniform_real_distribution<double> draw(-1, 1);
    const auto join = [&](int a, int b) {
      pairs.emplace_back(a, b);
      conductance.push_back(std::pow(10, draw(random)));
    };
    for (int k = 0; k < rows; ++k) {
      for (int i = 0; i < columns; ++i) {
        const int here = number[at(k * columns + i)];
        if (here < 0) continue;
        const int next = i + 1 < columns ? number[at(k * columns + i + 1)] : -1;
        const int up = k + 1 < rows ? number[at((k + 1) * columns + i)] : -1;
        if (next >= 0) join(here, next);
        if (up >= 0) join(here, up);
      }
    }
    for (int i = 0; i < columns; ++i) {
      join(number[at(i)], surfaces_from + i);
      join(surfaces_from + i, i % 3 == 0 ? -1 : body);
      if (i % 4 == 0) join(surfaces_from + i, body);
    }
    for (int u = 0; u < unknowns; ++u) {
      const bool is_surface = u >= surfaces_from;
      held.push_back(!is_surface && u % 13 == 5 ? 1 : 0);
      diagonal.push_back(is_surface || held.back() != 0 ? 0 : 0.02 + 0.02 * draw(random));
      right.push_back(held.back() != 0 ? 0 : draw(random));
    }
  }

  /// By LU of the dense matrix.
  [[nodiscard]] Eigen::VectorXd exact() const {
    Eigen::MatrixXd full = Eigen::MatrixXd::Zero(unknowns, unknowns);
    for (int u = 0; u < unknowns; ++u) full(u, u) = diagonal[at(u)];
    for (std::size_t k = 0; k < pairs.size(); ++k) {
      const auto [a, b] = pairs[k];
      full(a, a) += conductance[k];
      if (b < 0) continue;
      full(b, b) += conductance[k];
      full(a, b) -= conductance[k];
      full(b, a) -= conductance[k];
    }
    for (int u = 0; u < unknowns; ++u) {
      if (held[at(u)] == 0) continue;
      full.row(u).setZero();
      full.col(u).setZero();
      full(u, u) = 1;
    }
    return full.partialPivLu().solve(
        Eigen::Map<const Eigen::VectorXd>(right.data(), static_cast<Eigen::Index>(right.size())));
  }
};

}  // namespace

TEST_CASE("Cholesky and multigrid solve a grid as a dense LU does", "[solver][section]") {
  for (const auto& [columns, rows] : {std::pair{5, 4}, {13, 9}, {31, 27}}) {
    INFO(columns << " x " << rows);
    const Problem p(columns, rows);
    const Eigen::VectorXd exact = p.exact();
    const std::vector<std::shared_ptr<solver::ConductanceSolver>> solvers{
        std::make_shared<solver::CholeskySolver>(p.unknowns, p.pairs),
        std::make_shared<solver::MultigridSolver>(p.unknowns, p.pairs, p.grid, p.surfaces_from)};
    for (const auto& solver : solvers) {
      REQUIRE(solver->prepare(p.conductance, p.diagonal, p.held));
      std::vector<double> x(at(p.unknowns));
      REQUIRE(solver->solve(p.right, x, 1e-13));
      const Eigen::Map<const Eigen::VectorXd> found(x.data(), p.unknowns);
      CHECK((found - exact).norm() < 1e-11 * exact.norm());
      // A second right-hand side, and new values on the same pattern.
      Problem other = p;
      for (double& r : other.right) r = -2 * r;
      REQUIRE(solver->solve(other.right, x, 1e-13));
      CHECK((found + 2 * exact).norm() < 1e-11 * exact.norm());
      for (std::size_t k = 0; k < other.conductance.size(); k += 3) other.conductance[k] *= 7;
      REQUIRE(solver->prepare(other.conductance, other.diagonal, other.held));
      REQUIRE(solver->solve(other.right, x, 1e-13));
      CHECK((found - other.exact()).norm() < 1e-11 * exact.norm());
    }
    CHECK(solvers[0]->iterations() == 0);
    CHECK(solvers[1]->iterations() > 0);
  }
}

namespace {

/// Newton's change from one residual, by a system of `method`.
Eigen::VectorXd change_by(const mesh::Network& network, solver::LinearMethod method) {
  solver::HeatBalance balance(network);
  auto rates = balance.zero_rates();
  balance.evaluate(balance.start_state(), {300, 280, 0}, rates);
  const auto system = solver::make_newton_system(balance, method);
  system->assemble(balance, 50);
  Eigen::VectorXd change = Eigen::VectorXd::Zero(balance.cells() + balance.hubs());
  for (int i = 0; i < change.size(); ++i) {
    if (i < balance.cells() || balance.is_surface(i - balance.cells())) change[i] = std::cos(i);
  }
  REQUIRE(system->solve(change, 1e-14));
  return change;
}

}  // namespace

TEST_CASE("every linear system gives a plain network the same change", "[solver][section]") {
  const auto material = test::plain_material(0.8, 900, 1200);
  const auto column = test::slab({{material, 0.05, 12}}, 290, 20, 30);
  const auto section = test::one_across(material, 0.05, 12, 290, 20, 30).build();
  using solver::LinearMethod;
  const auto exact = change_by(column, LinearMethod::bordered);
  CHECK((change_by(column, LinearMethod::cholesky) - exact).norm() < 1e-11 * exact.norm());
  CHECK(change_by(column, LinearMethod::by_structure) == exact);
  for (const auto method : {LinearMethod::cholesky, LinearMethod::multigrid}) {
    CHECK((change_by(section, method) - exact).norm() < 1e-11 * exact.norm());
  }
}
