#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "cases/read_case.hpp"
#include "solver/linear/column_system.hpp"
#include "solver/march/schedule.hpp"
#include "support/derivatives.hpp"

using namespace thawline;
using test::at;
using test::is_unknown;
using test::melting_state;
using test::unknown;
using test::with_constant_properties;

namespace {

/// Unknowns are the cells, then the hubs; a lumped hub's unknown is its cell.
struct Unknowns {
  explicit Unknowns(const solver::HeatBalance& of) : balance(of) {}
  [[nodiscard]] int of_hub(int hub) const {
    const int cell = balance.network().hubs[at(hub)].cell;
    return cell < 0 ? balance.cells() + hub : cell;
  }
  [[nodiscard]] int count() const { return balance.cells() + balance.hubs(); }
  const solver::HeatBalance& balance;
};

/// The system as a dense matrix.
Eigen::MatrixXd dense(const solver::BorderedSystem& system, const Unknowns& unknowns) {
  Eigen::MatrixXd full = Eigen::MatrixXd::Zero(unknowns.count(), unknowns.count());
  for (std::size_t b = 0; b < system.blocks().size(); ++b) {
    const auto& block = system.blocks()[b];
    const int last = block.first + block.count - 1;
    for (int i = block.first; i <= last; ++i) {
      full(i, i) = system.diagonal[at(i)];
      if (i > block.first) full(i, i - 1) = system.lower[at(i)];
      if (i < last) full(i, i + 1) = system.upper[at(i)];
    }
    if (block.inner_hub >= 0) {
      full(block.first, unknowns.of_hub(block.inner_hub)) = system.inner_b[b];
      full(unknowns.of_hub(block.inner_hub), block.first) = system.inner_c[b];
    }
    if (block.outer_hub >= 0) {
      full(last, unknowns.of_hub(block.outer_hub)) = system.outer_b[b];
      full(unknowns.of_hub(block.outer_hub), last) = system.outer_c[b];
    }
  }
  for (int a = 0; a < unknowns.balance.hubs(); ++a) {
    for (int b = 0; b < unknowns.balance.hubs(); ++b) {
      full(unknowns.of_hub(a), unknowns.of_hub(b)) = system.hubs(a, b);
    }
  }
  return full;
}

/// H − scale·(rates of cells), then −(what is left over at surfaces).
Eigen::VectorXd residual(solver::HeatBalance& balance, const solver::State& y,
                         const solver::Conditions& conditions, double scale) {
  auto rates = balance.zero_rates();
  balance.evaluate(y, conditions, rates);
  Eigen::VectorXd all(balance.cells() + balance.hubs());
  all << y.enthalpy - scale * rates.cells, -rates.surfaces;
  return all;
}

/// ∂(residual)/∂(unknowns) by central differences.
Eigen::MatrixXd by_differences(solver::HeatBalance& balance, const solver::State& y,
                               const solver::Conditions& conditions, double scale) {
  const int n = balance.cells() + balance.hubs();
  Eigen::MatrixXd full = Eigen::MatrixXd::Zero(n, n);
  for (int j = 0; j < n; ++j) {
    if (!is_unknown(balance, j)) continue;
    const double d = j < balance.cells() ? 0.1 * balance.mass(j) : 1e-2;
    auto up = y;
    auto down = y;
    unknown(up, j) += d;
    unknown(down, j) -= d;
    full.col(j) =
        (residual(balance, up, conditions, scale) - residual(balance, down, conditions, scale)) /
        (unknown(up, j) - unknown(down, j));
  }
  return full;
}

/// The farthest entry of `ours` from `exact`, as a share of it and, for small ones, of the mean of
/// the diagonals of its row and column.
double farthest(const solver::HeatBalance& balance, const Eigen::MatrixXd& ours,
                const Eigen::MatrixXd& exact, double of_diagonal) {
  double worst = 0;
  for (int j = 0; j < ours.cols(); ++j) {
    for (int i = 0; i < ours.rows(); ++i) {
      if (!is_unknown(balance, i) || !is_unknown(balance, j)) continue;
      const double size = std::max(std::abs(exact(i, j)),
                                   of_diagonal * std::sqrt(std::abs(exact(i, i) * exact(j, j))));
      worst = std::max(worst, std::abs(ours(i, j) - exact(i, j)) / size);
    }
  }
  return worst;
}

cases::Case example(const std::string& name) {
  const std::string root = THAWLINE_SOURCE_DIR;
  auto c = cases::read_case(root + "/cases/examples/" + name + ".yaml",
                            cases::read_material_folder(root + "/cases/materials"));
  c.run.detail = cases::Detail::one_d;
  return c;
}

constexpr double warm_air = 360, warm_surfaces = 368;  // K

}  // namespace

// Columns, surfaces and lumped bodies alike: every entry, to what differences can tell.
TEST_CASE("the Jacobian of columns is the derivative of the residual", "[solver]") {
  for (const char* name : {"thin-box", "delivery-round", "ice-melt-water-drained",
                           "ice-melt-water-kept", "frozen-goods", "must-not-freeze"}) {
    INFO(name);
    solver::HeatBalance balance(with_constant_properties(example(name)));
    const Unknowns unknowns(balance);
    const auto y = melting_state(balance, warm_air, warm_surfaces);
    balance.place_fronts(y);
    const solver::Conditions conditions{303.15, 301.15, 0.05};
    const double scale = 30;
    solver::ColumnSystem system(balance);
    auto rates = balance.zero_rates();
    balance.evaluate(y, conditions, rates);
    system.assemble(balance, scale);
    CHECK(farthest(balance, dense(system.matrix(), unknowns),
                   by_differences(balance, y, conditions, scale), 1e-3) < 1e-6);
  }
}

// What Newton leaves out with the properties as they are: it may slow Newton, no more.
TEST_CASE("the change of properties with temperature is small in the Jacobian", "[solver]") {
  for (const char* name : {"thin-box", "frozen-goods", "market-stall"}) {
    INFO(name);
    solver::HeatBalance balance(mesh::build_network(example(name)));
    const Unknowns unknowns(balance);
    const auto y = melting_state(balance, 279, 276);
    balance.place_fronts(y);
    const solver::Conditions conditions{303.15, 301.15, 0.05};
    solver::ColumnSystem system(balance);
    auto rates = balance.zero_rates();
    balance.evaluate(y, conditions, rates);
    system.assemble(balance, 30);
    const double left_out = farthest(balance, dense(system.matrix(), unknowns),
                                     by_differences(balance, y, conditions, 30), 1);
    CHECK(left_out > 1e-6);  // else the test above should demand it of these too
    CHECK(left_out < 0.03);
  }
}
