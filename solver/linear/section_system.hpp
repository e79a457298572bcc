#pragma once

#include <memory>
#include <utility>
#include <vector>

#include "solver/linear/conductance_solver.hpp"
#include "solver/linear/newton_system.hpp"

namespace thawline::solver {

/// Newton's linear system of a network with a section. Written for temperature changes,
///
///     (1/(s dT/dH) + K) δT = residual/s,
///
/// it is symmetric and positive definite; cells in an isothermal melt (dT/dH = 0) are held at δT =
/// 0 and their δH follows from the flows of their neighbours. K holds the conductances as they are:
/// how they change with a front is counted only in the cell's own row, so Newton's convergence is
/// linear where fronts move, and quadratic nowhere else it matters.
class SectionSystem : public NewtonSystem {
 public:
  SectionSystem(const HeatBalance& balance, std::unique_ptr<ConductanceSolver> solver);

  void assemble(const HeatBalance& balance, double scale) override;
  [[nodiscard]] bool solve(Eigen::VectorXd& unknowns, double tolerance) override;
  [[nodiscard]] double surface_conductance(int hub) const override {
    return sums_[static_cast<std::size_t>(hub)];
  }
  [[nodiscard]] long iterations() const override { return solver_->iterations(); }

 private:
  int cells_, grid_first_, grid_end_;
  std::vector<std::pair<int, int>> pairs_;
  std::vector<std::size_t> at_surface_;  ///< pairs that touch a surface
  std::unique_ptr<ConductanceSolver> solver_;
  std::vector<double> conductances_, sums_, diagonal_, b_, x_, flow_;
  std::vector<double> slope_, own_;  ///< by cell: dT/dH, K/J; through its own front, 1/s
  std::vector<char> held_;
  double scale_ = 0;
  bool prepared_ = false, good_ = false;
};

}  // namespace thawline::solver
