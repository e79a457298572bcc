#pragma once

#include <array>
#include <vector>

#include "solver/linear/grid_matrix.hpp"
#include "solver/linear/line_sweep.hpp"
#include "solver/linear/sparse_factors.hpp"
#include "solver/linear/star_elimination.hpp"

namespace thawline::solver {

/// One V-cycle of multigrid as a preconditioner for a grid with its border: each level merges two
/// by two cells of the one before and joins them by the resistances between their middles;
/// smoothing is one sweep by lines before and after (`LineSweep`), then the others, which stay as
/// they are on every level, exactly. The coarsest level is solved by Cholesky. Symmetric, and the
/// same bits for any number of threads.
class GridMultigrid {
 public:
  explicit GridMultigrid(const StarElimination& stars);

  /// The finest matrix, to be filled before `set`.
  [[nodiscard]] GridMatrix& finest() { return levels_.front().a; }
  /// Takes over what `finest` holds and the matrix of the others. False when it is not positive.
  bool set(const std::vector<double>& other_diagonal, const std::vector<double>& by_joint);
  /// y = A x over cells, then others.
  void multiply(const std::vector<double>& x, std::vector<double>& y) const;
  /// z = (about A⁻¹) r.
  void apply(const std::vector<double>& r, std::vector<double>& z);

  [[nodiscard]] int levels() const { return static_cast<int>(levels_.size()); }

 private:
  struct Level {
    explicit Level(GridMatrix matrix) : a(std::move(matrix)), sweep(a) {}
    GridMatrix a;
    LineSweep sweep;
    /// By cell of the next level: the cells merged in it, −1 where there is none; along x first.
    std::vector<std::array<int, 4>> children;
    std::vector<int> border_parent;      ///< by border entry
    std::vector<double> right, x, work;  ///< of cells, then others
  };
  void coarsen();
  static void sum_up(const Level& fine, Level& coarse);
  void make_coarsest();
  bool factor_coarsest();
  void solve_others(const Level& level, const double* r, double* x);
  static void restrict_residual(Level& level, const double* r, Level& next);
  void cycle(std::size_t index, const double* r, double* x);

  int others_ = 0;
  std::vector<StarElimination::Joint> joints_;
  std::vector<double> other_diagonal_, by_joint_;
  std::vector<Level> levels_;
  SparseFactors other_factors_, coarsest_;
  std::vector<double> coarsest_diagonal_, coarsest_conductance_;
};

}  // namespace thawline::solver
