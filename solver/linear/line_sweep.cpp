#include "solver/linear/line_sweep.hpp"

#include <algorithm>
#include <type_traits>

#include "solver/at.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

/// Columns of a strip: a cache line or two in each row.
constexpr int strip_columns = 32;

}  // namespace

LineSweep::LineSweep(const GridMatrix& pattern) {
  for (auto* values : {&x_pivot_, &x_factor_, &z_pivot_, &z_factor_}) {
    values->assign(at(pattern.cells), 0);
  }
  for (int parity = 0; parity < 2; ++parity) {
    std::vector<Bundle>& bundles = bundles_[parity];
    for (int k = parity; k < pattern.rows; k += 2) {
      const int begin = pattern.row_start[at(k)];
      const int cells = pattern.row_start[at(k) + 1] - begin;
      if (bundles.empty() || bundles.back().rows == most_rows || bundles.back().cells != cells) {
        bundles.push_back({0, cells});
      }
      bundles.back().begin[bundles.back().rows++] = begin;
    }
    for (int begin = 0; begin < pattern.columns; begin += strip_columns) {
      Strip strip{static_cast<int>(runs_.size()), 0};
      const int end = std::min(pattern.columns, begin + strip_columns);
      for (int k = 0; k < pattern.rows; ++k) {
        Run run;
        for (int i = begin + parity; i < end; i += 2) {
          const int c = pattern.place[at(k) * at(pattern.columns) + at(i)];
          if (c < 0) continue;
          const int up = pattern.up[at(c)] - c;
          const int down = pattern.down[at(c)] - c;
          const bool goes_on =
              run.count > 0 && c == run.first + 2 * run.count && up == run.up && down == run.down;
          if (!goes_on && run.count > 0) runs_.push_back(run);
          if (!goes_on) run = {c, 0, up, down};
          ++run.count;
        }
        if (run.count > 0) runs_.push_back(run);
      }
      strip.last = static_cast<int>(runs_.size());
      strips_[parity].push_back(strip);
    }
  }
}

template <int rows>
void LineSweep::factor_rows(const GridMatrix& a, const Bundle& bundle) {
  double before[rows] = {0};  // g²/pivot of the cell before
  double factor[rows] = {0};
  for (int i = 0; i < bundle.cells; ++i) {
    for (int q = 0; q < rows; ++q) {
      const auto c = at(bundle.begin[q] + i);
      const double pivot = 1 / (a.diagonal[c] - before[q]);
      x_pivot_[c] = pivot;
      x_factor_[c] = factor[q];
      factor[q] = a.gx[c] * pivot;
      before[q] = a.gx[c] * factor[q];
    }
  }
}

namespace {

/// `act(std::integral_constant<int, rows>)` for what a bundle holds.
template <typename Act>
void by_rows(int rows, const Act& act) {
  switch (rows) {
    case 4:
      return act(std::integral_constant<int, 4>());
    case 3:
      return act(std::integral_constant<int, 3>());
    case 2:
      return act(std::integral_constant<int, 2>());
    default:
      return act(std::integral_constant<int, 1>());
  }
}

}  // namespace

void LineSweep::factor(const GridMatrix& a) {
  for (const auto& bundles : bundles_) {
    for_tasks(static_cast<int>(bundles.size()), a.cells, [&](int b) {
      by_rows(bundles[at(b)].rows, [&](auto rows) { factor_rows<rows>(a, bundles[at(b)]); });
    });
  }
  for (const auto& strips : strips_) {
    for_tasks(static_cast<int>(strips.size()), a.cells, [&](int s) {
      for (int p = strips[at(s)].first; p < strips[at(s)].last; ++p) {
        const Run& run = runs_[at(p)];
        for (int j = 0; j < run.count; ++j) {
          const int c = run.first + 2 * j;
          const double g = run.down != 0 ? a.gz[at(c + run.down)] : 0;
          z_factor_[at(c)] = g > 0 ? g * z_pivot_[at(c + run.down)] : 0;
          z_pivot_[at(c)] = 1 / (a.diagonal[at(c)] - g * z_factor_[at(c)]);
        }
      }
    });
  }
}

template <int rows, bool alone>
void LineSweep::solve_rows(const GridMatrix& a, const Bundle& bundle, const double* r,
                           double* x) const {
  double last[rows] = {0};
  for (int i = 0; i < bundle.cells; ++i) {
    for (int q = 0; q < rows; ++q) {
      const int c = bundle.begin[q] + i;
      double sum = r[c];
      if (!alone) {
        const int up = a.up[at(c)];
        const int down = a.down[at(c)];
        if (up != c) sum += a.gz[at(c)] * x[up];
        if (down != c) sum += a.gz[at(down)] * x[down];
      }
      last[q] = sum + x_factor_[at(c)] * last[q];
      x[c] = last[q];
    }
  }
  std::fill(last, last + rows, 0.0);
  for (int i = bundle.cells - 1; i >= 0; --i) {
    for (int q = 0; q < rows; ++q) {
      const int c = bundle.begin[q] + i;
      last[q] = x_pivot_[at(c)] * (x[c] + a.gx[at(c)] * last[q]);
      x[c] = last[q];
    }
  }
}

template <bool alone>
void LineSweep::along_x(const GridMatrix& a, int parity, const double* r, double* x) const {
  const auto& bundles = bundles_[parity];
  for_tasks(static_cast<int>(bundles.size()), a.cells, [&](int b) {
    by_rows(bundles[at(b)].rows,
            [&](auto rows) { solve_rows<rows, alone>(a, bundles[at(b)], r, x); });
  });
}

void LineSweep::along_z(const GridMatrix& a, int parity, const double* r, double* x) const {
  const auto& strips = strips_[parity];
  for_tasks(static_cast<int>(strips.size()), a.cells, [&](int s) {
    const Strip strip = strips[at(s)];
    for (int p = strip.first; p < strip.last; ++p) {
      const Run& run = runs_[at(p)];
      for (int j = 0; j < run.count; ++j) {
        const int c = run.first + 2 * j;
        double sum = r[c] + z_factor_[at(c)] * x[c + run.down];
        if (c + 1 < a.cells) sum += a.gx[at(c)] * x[c + 1];
        if (c > 0) sum += a.gx[at(c) - 1] * x[c - 1];
        x[c] = sum;
      }
    }
    for (int p = strip.last - 1; p >= strip.first; --p) {
      const Run& run = runs_[at(p)];
      for (int j = 0; j < run.count; ++j) {
        const int c = run.first + 2 * j;
        x[c] = z_pivot_[at(c)] * (x[c] + a.gz[at(c)] * x[c + run.up]);
      }
    }
  });
}

void LineSweep::forward(const GridMatrix& a, const double* r, double* x) const {
  along_x<true>(a, 0, r, x);
  along_x<false>(a, 1, r, x);
  along_z(a, 0, r, x);
  along_z(a, 1, r, x);
}

void LineSweep::backward(const GridMatrix& a, const double* r, double* x) const {
  along_z(a, 1, r, x);
  along_z(a, 0, r, x);
  along_x<false>(a, 1, r, x);
  along_x<false>(a, 0, r, x);
}

}  // namespace thawline::solver
