#include "solver/linear/grid_matrix.hpp"

#include <algorithm>

#include "solver/at.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

GridMatrix grid_of(int columns, int rows, const std::vector<char>& used) {
  GridMatrix a;
  a.columns = columns;
  a.rows = rows;
  a.place.assign(used.size(), -1);
  for (int k = 0; k < rows; ++k) {
    a.row_start.push_back(a.cells);
    for (int i = 0; i < columns; ++i) {
      const std::size_t here = at(k) * at(columns) + at(i);
      if (used[here] == 0) continue;
      a.place[here] = a.cells;
      a.column.push_back(i);
      const int below = k > 0 ? a.place[here - at(columns)] : -1;
      a.down.push_back(below < 0 ? a.cells : below);
      a.up.push_back(a.cells);
      if (below >= 0) a.up[at(below)] = a.cells;
      ++a.cells;
    }
  }
  a.row_start.push_back(a.cells);
  for (auto* values : {&a.gx, &a.gz, &a.own, &a.diagonal}) values->assign(at(a.cells), 0);
  a.fixed.assign(at(a.cells), 0);
  return a;
}

void sum_diagonals(GridMatrix& a) {
  for_all(a.cells, [&](int c) {
    double sum = a.own[at(c)] + a.gx[at(c)] + a.gz[at(c)];
    if (c > 0) sum += a.gx[at(c) - 1];
    if (a.down[at(c)] != c) sum += a.gz[at(a.down[at(c)])];
    a.diagonal[at(c)] = sum;
  });
  for (const auto& border : a.border) a.diagonal[at(border.cell)] += border.g;
  for_all(a.cells, [&](int c) {
    if (a.fixed[at(c)] == 0 && a.diagonal[at(c)] > 0) return;
    a.fixed[at(c)] = 1;
    a.diagonal[at(c)] = 1;
  });
}

void multiply(const GridMatrix& a, const double* x, double* y) {
  const double* gx = a.gx.data();
  const double* gz = a.gz.data();
  for_tasks(a.rows, a.cells, [&](int k) {
    const int begin = a.row_start[at(k)];
    const int end = a.row_start[at(k) + 1];
    for (int c = begin; c < end; ++c) {
      const int before = c > begin ? c - 1 : c;
      const int after = c + 1 < end ? c + 1 : c;
      const double left = c > begin ? gx[before] : 0;
      const int up = a.up[at(c)];
      const int down = a.down[at(c)];
      const double below = down != c ? gz[down] : 0;
      y[c] = a.diagonal[at(c)] * x[c] - left * x[before] - gx[c] * x[after] - below * x[down] -
             gz[c] * x[up];
    }
  });
  for (const auto& border : a.border) {
    y[border.cell] -= border.g * x[a.cells + border.other];
  }
}

}  // namespace thawline::solver
