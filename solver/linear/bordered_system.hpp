#pragma once

#include <Eigen/Dense>
#include <string>
#include <vector>

#include "solver/linear/hub_elimination.hpp"

namespace thawline::solver {

/// Cells [first, first + count) form one tridiagonal block whose ends couple to hubs (−1: none).
struct Block {
  int first = 0, count = 0;
  int inner_hub = -1, outer_hub = -1;
};

/// A square matrix of tridiagonal blocks bordered by a small dense part:
///
///     | T   B | |x|   |r|
///     | C   D | |y| = |s|     T block-tridiagonal, D hubs × hubs.
///
/// B and C have entries at block ends only. `factor` and `solve` work in place and allocate
/// nothing.
class BorderedSystem {
 public:
  /// `touching`: pairs of hubs whose entries of D may be set; those at the two ends of a block are
  /// known.
  BorderedSystem(std::vector<Block> blocks, int cells, int hubs, std::vector<HubPair> touching);

  void set_zero();

  std::vector<double> lower, diagonal, upper;  ///< of T, by row
  /// Per block: ∂(first cell)/∂(inner hub), ∂(last cell)/∂(outer hub), and the transposes.
  std::vector<double> inner_b, outer_b, inner_c, outer_c;
  Eigen::MatrixXd hubs;

  [[nodiscard]] const std::vector<Block>& blocks() const { return blocks_; }

  /// Eliminates the blocks into the hubs' Schur complement and factors it.
  void factor();
  /// Solves for the right-hand side given in `cells`, of which only those in blocks are used, and
  /// `hubs`, overwriting them.
  void solve(Eigen::VectorXd& cells, Eigen::VectorXd& hub_values);

 private:
  void forward_back(const Block& block, Eigen::VectorXd& x) const;
  void back(const Block& block, Eigen::VectorXd& x) const;
  void eliminate_blocks();
  /// T⁻¹ of `b` at a block's inner or outer end, into the response vectors.
  void respond_from_inner(const Block& block, double b);
  void respond_from_outer(const Block& block, double b);

  std::vector<Block> blocks_;
  std::vector<double> multiplier_, pivot_;
  Eigen::VectorXd inner_response_, outer_response_;  ///< T⁻¹ times the B columns
  HubElimination schur_;
};

}  // namespace thawline::solver
