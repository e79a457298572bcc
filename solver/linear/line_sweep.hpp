#pragma once

#include <vector>

#include "solver/linear/grid_matrix.hpp"

namespace thawline::solver {

/// Gauss-Seidel by lines of a grid: every other line at a time is solved exactly for what its
/// neighbours have, first along x, then along z (backward the other way round), so that cells
/// stretched either way and thin skins are smoothed alike.
class LineSweep {
 public:
  explicit LineSweep(const GridMatrix& pattern);

  /// Factors the lines of a matrix of the same pattern.
  void factor(const GridMatrix& a);
  /// One sweep for the right-hand side `r` that starts from x = 0 (what `x` holds is not read), and
  /// one backward over `x`; both of cells.
  void forward(const GridMatrix& a, const double* r, double* x) const;
  void backward(const GridMatrix& a, const double* r, double* x) const;

 private:
  /// Rows of one parity and length, worked together: each waits for its own last cell only.
  static constexpr int most_rows = 4;
  struct Bundle {
    int rows = 0;
    int cells = 0;               ///< of each row
    int begin[most_rows] = {0};  ///< first cell
  };
  template <int rows>
  void factor_rows(const GridMatrix& a, const Bundle& bundle);
  template <int rows, bool alone>
  void solve_rows(const GridMatrix& a, const Bundle& bundle, const double* r, double* x) const;
  /// `alone`: as if the rows beside held 0.
  template <bool alone>
  void along_x(const GridMatrix& a, int parity, const double* r, double* x) const;
  void along_z(const GridMatrix& a, int parity, const double* r, double* x) const;

  /// Every other cell of a piece of a row whose cells have theirs above and below as far off.
  struct Run {
    int first = 0, count = 0;
    int up = 0, down = 0;  ///< from a cell to the one above or below, 0 where there is none
  };
  /// The runs of neighbouring columns of one parity, row by row.
  struct Strip {
    int first = 0, last = 0;
  };
  std::vector<Bundle> bundles_[2];
  std::vector<Strip> strips_[2];
  std::vector<Run> runs_;
  std::vector<double> x_pivot_, x_factor_, z_pivot_, z_factor_;  ///< 1/pivot; factor of the last
};

}  // namespace thawline::solver
