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
  /// One sweep over x for the right-hand side `r`, both of cells.
  void forward(const GridMatrix& a, const double* r, double* x) const;
  void backward(const GridMatrix& a, const double* r, double* x) const;

 private:
  void along_x(const GridMatrix& a, int parity, const double* r, double* x) const;
  void along_z(const GridMatrix& a, int parity, const double* r, double* x) const;

  /// Cells of a strip of neighbouring columns of one parity, row by row.
  struct Strip {
    int first = 0, last = 0;
  };
  std::vector<Strip> strips_[2];
  std::vector<int> by_strip_;
  std::vector<double> x_pivot_, x_factor_, z_pivot_, z_factor_;  ///< 1/pivot; factor of the last
};

}  // namespace thawline::solver
