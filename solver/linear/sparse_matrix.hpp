#pragma once

#include <utility>
#include <vector>

namespace thawline::solver {

/// A symmetric matrix by rows, its diagonal apart.
struct SparseMatrix {
  std::vector<int> start, column;  ///< off-diagonal entries of row i at [start[i], start[i + 1])
  std::vector<double> value;
  std::vector<double> diagonal;

  [[nodiscard]] int rows() const { return static_cast<int>(diagonal.size()); }
};

/// The pattern of all pairs (i ≠ j, both ≥ 0; each may occur more than once), columns rising within
/// a row, values zero.
[[nodiscard]] SparseMatrix pattern_of(int rows, const std::vector<std::pair<int, int>>& pairs);

/// Index in `value` of the entry (row, column), which must exist.
[[nodiscard]] int position_of(const SparseMatrix& a, int row, int column);

/// y = A x.
void multiply(const SparseMatrix& a, const std::vector<double>& x, std::vector<double>& y);

/// xᵀ y, summed in blocks of fixed size: the same bits for any number of threads.
[[nodiscard]] double dot(const std::vector<double>& x, const std::vector<double>& y);

}  // namespace thawline::solver
