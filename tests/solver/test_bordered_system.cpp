#include <Eigen/Dense>
#include <catch2/catch.hpp>
#include <random>

#include "solver/linear/bordered_system.hpp"
#include "solver/linear/hub_elimination.hpp"

using namespace thawline;

TEST_CASE("bordered solve against a dense one", "[solver]") {
  const std::vector<solver::Block> blocks{{0, 4, 0, 1}, {4, 1, -1, 2}, {5, 6, 2, 0}};
  const int cells = 11;
  const int hubs = 3;
  solver::BorderedSystem system(blocks, cells, hubs, {{0, 1}, {1, 2}});
  Eigen::MatrixXd dense = Eigen::MatrixXd::Zero(cells + hubs, cells + hubs);
  std::mt19937 random(7);
  std::uniform_real_distribution<double> draw(-1, 1);
  system.set_zero();
  for (std::size_t k = 0; k < blocks.size(); ++k) {
    const auto& b = blocks[k];
    for (int i = b.first; i < b.first + b.count; ++i) {
      const auto row = static_cast<std::size_t>(i);
      dense(i, i) = system.diagonal[row] = 4 + draw(random);
      if (i > b.first) dense(i, i - 1) = system.lower[row] = draw(random);
      if (i + 1 < b.first + b.count) dense(i, i + 1) = system.upper[row] = draw(random);
    }
    const int last = b.first + b.count - 1;
    if (b.inner_hub >= 0) {
      dense(b.first, cells + b.inner_hub) = system.inner_b[k] = draw(random);
      dense(cells + b.inner_hub, b.first) = system.inner_c[k] = draw(random);
    }
    if (b.outer_hub >= 0) {
      dense(last, cells + b.outer_hub) = system.outer_b[k] = draw(random);
      dense(cells + b.outer_hub, last) = system.outer_c[k] = draw(random);
    }
  }
  for (int i = 0; i < hubs; ++i) {
    for (int j = 0; j < hubs; ++j) {
      dense(cells + i, cells + j) = system.hubs(i, j) = (i == j ? 5 : 0) + draw(random);
    }
  }
  Eigen::VectorXd right = Eigen::VectorXd::NullaryExpr(cells + hubs, [&] { return draw(random); });
  const Eigen::VectorXd exact = dense.partialPivLu().solve(right);
  Eigen::VectorXd x = right.head(cells);
  Eigen::VectorXd y = right.tail(hubs);
  system.factor();
  system.solve(x, y);
  CHECK((x - exact.head(cells)).norm() < 1e-13);
  CHECK((y - exact.tail(hubs)).norm() < 1e-13);
}

TEST_CASE("hubs are solved with what is filled in, with row exchanges where a pivot is lost",
          "[solver]") {
  Eigen::MatrixXd star = Eigen::MatrixXd::Zero(6, 6);
  for (int i = 0; i < 6; ++i) star(i, i) = 3 + i;
  star.row(2) = Eigen::RowVectorXd::LinSpaced(6, 1, 2);
  star.col(2).setConstant(-0.7);
  star(2, 2) = 9;
  Eigen::MatrixXd lost = star;
  lost(4, 4) = 0;
  star(0, 5) = 0.5;
  lost(5, 0) = -0.25;
  const std::vector<solver::HubPair> pairs{{2, 0}, {1, 2}, {2, 3}, {2, 4}, {5, 2}, {0, 5}};
  Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(6, -1, 4);
  for (const Eigen::MatrixXd& matrix : {star, lost}) {
    solver::HubElimination hubs(6, pairs);
    hubs.factor(matrix);
    Eigen::VectorXd x = right;
    hubs.solve(x);
    CHECK((matrix * x - right).norm() < 1e-13);
  }
}
