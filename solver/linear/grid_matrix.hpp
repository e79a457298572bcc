#pragma once

#include <vector>

#include "solver/linear/tensor_grid.hpp"

namespace thawline::solver {

/// Conductances between the cells of a tensor grid and from them to a few other unknowns (the air,
/// bodies, columns). Cells are numbered along x first, then z; a cell in `fixed` is held at zero.
struct GridMatrix {
  struct Border {
    int cell = 0, other = 0;
    double g = 0;  ///< W/K
  };

  int columns = 0, rows = 0, cells = 0;
  std::vector<int> place;      ///< cell by k columns + i, −1 where there is none
  std::vector<int> row_start;  ///< first cell of each row, and the end of the last
  std::vector<int> column;     ///< of each cell
  std::vector<int> up, down;   ///< cell above and below; the cell itself where there is none
  std::vector<double> gx, gz;  ///< W/K to the next cell along x, along z; 0 where there is none
  std::vector<double> own;     ///< W/K, what else is on the diagonal
  std::vector<double> diagonal;
  std::vector<char> fixed;
  std::vector<Border> border;  ///< by cell
};

[[nodiscard]] GridMatrix grid_of(int columns, int rows, const std::vector<char>& used);

/// Diagonals from all conductances; cells that are joined to nothing become fixed.
void sum_diagonals(GridMatrix& a);

/// The cells' rows of y = A x, x of cells, then others.
void multiply(const GridMatrix& a, const double* x, double* y);

}  // namespace thawline::solver
