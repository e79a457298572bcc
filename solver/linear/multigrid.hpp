#pragma once

#include <Eigen/Dense>
#include <vector>

#include "solver/linear/sparse_matrix.hpp"

namespace thawline::solver {

/// Aggregation multigrid for symmetric matrices of conductances (off-diagonal entries ≤ 0), used as
/// a preconditioner: pairs of the most strongly joined unknowns are merged twice a level, so that
/// thin skins and stretched cells coarsen along their strong direction; levels are joined by the
/// K-cycle, two steps of flexible conjugate gradients on each coarse level (Notay 2008, 2010).
/// Smoothing is one sweep of Gauss-Seidel by colours forward before and backward after.
///
/// Unknowns with many neighbours (the air) stay alone on every level. Rows in `fixed` have the
/// value zero. Aggregates are made once, from the first matrix seen; values anew for every matrix.
/// The same bits for any number of threads.
class Multigrid {
 public:
  explicit Multigrid(const SparseMatrix& first);

  /// Takes over the values of a matrix of the same pattern.
  void set(const SparseMatrix& a, const std::vector<char>& fixed);
  /// z = (about A⁻¹) r.
  void apply(const std::vector<double>& r, std::vector<double>& z);

  [[nodiscard]] int levels() const { return static_cast<int>(levels_.size()); }
  [[nodiscard]] const SparseMatrix& finest() const { return levels_.front().a; }

 private:
  static constexpr int most_dense_rows = 400;
  struct Level {
    SparseMatrix a;
    std::vector<char> fixed;
    std::vector<int> aggregate;           ///< by row: row of the next level
    std::vector<int> child_start, child;  ///< by row of the next level: rows here
    std::vector<int> coarse_position;     ///< by entry: entry of the next level, −1: its diagonal
    std::vector<int> colour_start, by_colour;
    std::vector<double> residual, x, right, c, v, d;
  };
  [[nodiscard]] bool is_dense() const { return levels_.back().a.rows() <= most_dense_rows; }
  static void colour(Level& level);
  static std::vector<int> pairs_of(const SparseMatrix& a);
  static SparseMatrix merged(const SparseMatrix& a, const std::vector<int>& aggregate, int count);
  void coarsen(Level& level, Level& next);
  static void sum_up(const Level& level, Level& next);
  static void sweep(const Level& level, const std::vector<double>& r, std::vector<double>& x,
                    bool backward);
  void cycle(std::size_t level, const std::vector<double>& r, std::vector<double>& x);
  void coarse_solve(std::size_t level);

  std::vector<Level> levels_;
  Eigen::LDLT<Eigen::MatrixXd> coarsest_;
  Eigen::MatrixXd dense_;
  Eigen::VectorXd dense_x_;
};

}  // namespace thawline::solver
