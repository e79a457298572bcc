#pragma once

#include <utility>
#include <vector>

#include "solver/linear/conductance_solver.hpp"
#include "solver/linear/grid_multigrid.hpp"
#include "solver/linear/star_elimination.hpp"

namespace thawline::solver {

/// Conjugate gradients preconditioned by multigrid on a grid, surfaces taken out first.
class MultigridSolver : public ConductanceSolver {
 public:
  /// `pairs`: unknowns joined by a conductance, second −1 for the outside. Unknowns from
  /// `surfaces_from` on have D = 0 and are never held.
  MultigridSolver(int unknowns, const std::vector<std::pair<int, int>>& pairs,
                  const TensorGrid& grid, int surfaces_from);

  [[nodiscard]] bool prepare(const std::vector<double>& conductances,
                             const std::vector<double>& diagonal,
                             const std::vector<char>& held) override;
  [[nodiscard]] bool solve(const std::vector<double>& b, std::vector<double>& x,
                           double tolerance) override;
  [[nodiscard]] long iterations() const override { return iterations_; }

 private:
  [[nodiscard]] bool iterate(double tolerance);

  StarElimination stars_;
  GridMultigrid multigrid_;
  std::vector<double> other_diagonal_, by_joint_;
  std::vector<double> b_, x_, r_, z_, p_, q_;
  long iterations_ = 0;
};

}  // namespace thawline::solver
