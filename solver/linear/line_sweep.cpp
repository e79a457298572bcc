#include "solver/linear/line_sweep.hpp"

#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Columns of a strip: a cache line or two in each row.
constexpr int strip_columns = 32;

}  // namespace

LineSweep::LineSweep(const GridMatrix& pattern) {
  for (auto* values : {&x_pivot_, &x_factor_, &z_pivot_, &z_factor_}) {
    values->assign(at(pattern.cells), 0);
  }
  by_strip_.reserve(at(pattern.cells));
  for (int parity = 0; parity < 2; ++parity) {
    for (int begin = 0; begin < pattern.columns; begin += strip_columns) {
      Strip strip{static_cast<int>(by_strip_.size()), 0};
      const int end = std::min(pattern.columns, begin + strip_columns);
      for (int k = 0; k < pattern.rows; ++k) {
        for (int i = begin + parity; i < end; i += 2) {
          const int cell = pattern.place[at(k) * at(pattern.columns) + at(i)];
          if (cell >= 0) by_strip_.push_back(cell);
        }
      }
      strip.last = static_cast<int>(by_strip_.size());
      strips_[parity].push_back(strip);
    }
  }
}

void LineSweep::factor(const GridMatrix& a) {
  for_tasks(a.rows, a.cells, [&](int k) {
    double before = 0;  // g²/pivot of the cell before
    double factor = 0;
    for (int c = a.row_start[at(k)]; c < a.row_start[at(k) + 1]; ++c) {
      const double pivot = 1 / (a.diagonal[at(c)] - before);
      x_pivot_[at(c)] = pivot;
      x_factor_[at(c)] = factor;
      factor = a.gx[at(c)] * pivot;
      before = a.gx[at(c)] * factor;
    }
  });
  for (const auto& strips : strips_) {
    for_tasks(static_cast<int>(strips.size()), a.cells, [&](int s) {
      for (int p = strips[at(s)].first; p < strips[at(s)].last; ++p) {
        const int c = by_strip_[at(p)];
        const int down = a.down[at(c)];
        const double g = down != c ? a.gz[at(down)] : 0;
        z_factor_[at(c)] = g > 0 ? g * z_pivot_[at(down)] : 0;
        z_pivot_[at(c)] = 1 / (a.diagonal[at(c)] - g * z_factor_[at(c)]);
      }
    });
  }
}

void LineSweep::along_x(const GridMatrix& a, int parity, const double* r, double* x) const {
  for_tasks((a.rows - parity + 1) / 2, a.cells, [&](int row) {
    const int k = 2 * row + parity;
    const int begin = a.row_start[at(k)];
    const int end = a.row_start[at(k) + 1];
    double last = 0;
    for (int c = begin; c < end; ++c) {
      const int up = a.up[at(c)];
      const int down = a.down[at(c)];
      double sum = r[c];
      if (up != c) sum += a.gz[at(c)] * x[up];
      if (down != c) sum += a.gz[at(down)] * x[down];
      last = sum + x_factor_[at(c)] * last;
      x[c] = last;
    }
    last = 0;
    for (int c = end - 1; c >= begin; --c) {
      last = x_pivot_[at(c)] * (x[c] + a.gx[at(c)] * last);
      x[c] = last;
    }
  });
}

void LineSweep::along_z(const GridMatrix& a, int parity, const double* r, double* x) const {
  const auto& strips = strips_[parity];
  for_tasks(static_cast<int>(strips.size()), a.cells, [&](int s) {
    const Strip strip = strips[at(s)];
    for (int p = strip.first; p < strip.last; ++p) {
      const int c = by_strip_[at(p)];
      double sum = r[c] + z_factor_[at(c)] * x[a.down[at(c)]];
      if (c + 1 < a.cells) sum += a.gx[at(c)] * x[c + 1];
      if (c > 0) sum += a.gx[at(c) - 1] * x[c - 1];
      x[c] = sum;
    }
    for (int p = strip.last - 1; p >= strip.first; --p) {
      const int c = by_strip_[at(p)];
      x[c] = z_pivot_[at(c)] * (x[c] + a.gz[at(c)] * x[a.up[at(c)]]);
    }
  });
}

void LineSweep::forward(const GridMatrix& a, const double* r, double* x) const {
  along_x(a, 0, r, x);
  along_x(a, 1, r, x);
  along_z(a, 0, r, x);
  along_z(a, 1, r, x);
}

void LineSweep::backward(const GridMatrix& a, const double* r, double* x) const {
  along_z(a, 1, r, x);
  along_z(a, 0, r, x);
  along_x(a, 1, r, x);
  along_x(a, 0, r, x);
}

}  // namespace thawline::solver
