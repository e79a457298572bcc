#include "solver/linear/grid_multigrid.hpp"

#include <algorithm>
#include <map>

#include "solver/at.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

constexpr int coarsest_cells = 300;

std::vector<std::pair<int, int>> pairs_of(const std::vector<StarElimination::Joint>& joints) {
  std::vector<std::pair<int, int>> pairs;
  pairs.reserve(joints.size());
  for (const auto& joint : joints) pairs.emplace_back(joint.first, joint.second);
  return pairs;
}

/// W/K between the middles of two merged pairs of cells: across the face, and half of what lies
/// between the cells of each pair (0: there is but one).
double in_series(double face, double before, double after) {
  if (!(face > 0)) return 0;
  double resistance = 1 / face;
  if (before > 0) resistance += 0.5 / before;
  if (after > 0) resistance += 0.5 / after;
  return 1 / resistance;
}

}  // namespace

GridMultigrid::GridMultigrid(const StarElimination& stars)
    : others_(stars.others()),
      joints_(stars.joints()),
      other_factors_(stars.others(), pairs_of(joints_)),
      coarsest_(0, {}) {
  levels_.emplace_back(stars.pattern());
  while (levels_.back().a.cells > coarsest_cells) coarsen();
  for (Level& level : levels_) {
    for (auto* values : {&level.right, &level.x, &level.work}) {
      values->assign(at(level.a.cells + others_), 0);
    }
  }
  make_coarsest();
}

void GridMultigrid::coarsen() {
  Level& fine = levels_.back();
  const GridMatrix& a = fine.a;
  const int columns = (a.columns + 1) / 2;
  const int rows = (a.rows + 1) / 2;
  std::vector<char> used(at(columns) * at(rows), 0);
  const auto merged = [&](int i, int k) { return at(k / 2) * at(columns) + at(i / 2); };
  for (int k = 0; k < a.rows; ++k) {
    for (int i = 0; i < a.columns; ++i) {
      if (a.place[at(k) * at(a.columns) + at(i)] >= 0) used[merged(i, k)] = 1;
    }
  }
  GridMatrix coarse = grid_of(columns, rows, used);
  std::vector<int> parents(at(a.cells));
  fine.children.assign(at(coarse.cells), {-1, -1, -1, -1});
  for (int k = 0; k < a.rows; ++k) {
    for (int c = a.row_start[at(k)]; c < a.row_start[at(k) + 1]; ++c) {
      const int i = a.column[at(c)];
      const int parent = coarse.place[merged(i, k)];
      parents[at(c)] = parent;
      fine.children[at(parent)][at(2 * (k % 2) + i % 2)] = c;
    }
  }
  std::map<std::pair<int, int>, int> border;
  for (const auto& entry : a.border) border[{parents[at(entry.cell)], entry.other}] = 0;
  for (auto& [ends, index] : border) {
    index = static_cast<int>(coarse.border.size());
    coarse.border.push_back({ends.first, ends.second, 0});
  }
  for (const auto& entry : a.border) {
    fine.border_parent.push_back(border[{parents[at(entry.cell)], entry.other}]);
  }
  levels_.emplace_back(std::move(coarse));
}

void GridMultigrid::sum_up(const Level& fine, Level& coarse) {
  const GridMatrix& a = fine.a;
  GridMatrix& b = coarse.a;
  for_all(b.cells, [&](int c) {
    const auto& children = fine.children[at(c)];
    double own = 0;
    double along_x = 0;
    double along_z = 0;
    char fixed = 1;
    for (std::size_t step = 0; step < 2; ++step) {
      const int before = children[2 * step];
      const int child = children[2 * step + 1];
      if (child >= 0 && a.gx[at(child)] > 0) {
        along_x +=
            in_series(a.gx[at(child)], before >= 0 ? a.gx[at(before)] : 0, a.gx[at(child) + 1]);
      }
    }
    for (std::size_t side = 0; side < 2; ++side) {
      const int before = children[side];
      const int child = children[2 + side];
      if (child >= 0 && a.gz[at(child)] > 0) {
        along_z += in_series(a.gz[at(child)], before >= 0 ? a.gz[at(before)] : 0,
                             a.gz[at(a.up[at(child)])]);
      }
    }
    for (const int child : children) {
      if (child < 0 || a.fixed[at(child)] != 0) continue;
      own += a.own[at(child)];
      fixed = 0;
    }
    b.own[at(c)] = own;
    b.gx[at(c)] = along_x;
    b.gz[at(c)] = along_z;
    b.fixed[at(c)] = fixed;
  });
  for (auto& border : b.border) border.g = 0;
  for (std::size_t e = 0; e < a.border.size(); ++e) {
    b.border[at(fine.border_parent[e])].g += a.border[e].g;
  }
  sum_diagonals(b);
}

void GridMultigrid::make_coarsest() {
  const GridMatrix& a = levels_.back().a;
  std::vector<std::pair<int, int>> pairs;
  for (int c = 0; c < a.cells; ++c) {
    const bool has_next = c + 1 < a.cells && a.column[at(c) + 1] == a.column[at(c)] + 1;
    if (has_next) pairs.emplace_back(c, c + 1);
    if (a.up[at(c)] != c) pairs.emplace_back(c, a.up[at(c)]);
  }
  for (const auto& border : a.border) pairs.emplace_back(border.cell, a.cells + border.other);
  for (const auto& joint : joints_) {
    pairs.emplace_back(a.cells + joint.first, a.cells + joint.second);
  }
  coarsest_conductance_.assign(pairs.size(), 0);
  coarsest_ = {a.cells + others_, std::move(pairs)};
}

bool GridMultigrid::factor_coarsest() {
  const GridMatrix& a = levels_.back().a;
  std::size_t p = 0;
  for (int c = 0; c < a.cells; ++c) {
    const bool has_next = c + 1 < a.cells && a.column[at(c) + 1] == a.column[at(c)] + 1;
    if (has_next) coarsest_conductance_[p++] = a.gx[at(c)];
    if (a.up[at(c)] != c) coarsest_conductance_[p++] = a.gz[at(c)];
  }
  for (const auto& border : a.border) coarsest_conductance_[p++] = border.g;
  for (const double g : by_joint_) coarsest_conductance_[p++] = g;
  coarsest_diagonal_ = a.diagonal;
  coarsest_diagonal_.insert(coarsest_diagonal_.end(), other_diagonal_.begin(),
                            other_diagonal_.end());
  coarsest_.factor(coarsest_diagonal_, coarsest_conductance_);
  return coarsest_.good();
}

bool GridMultigrid::set(const std::vector<double>& other_diagonal,
                        const std::vector<double>& by_joint) {
  other_diagonal_ = other_diagonal;
  by_joint_ = by_joint;
  sum_diagonals(levels_.front().a);
  for (std::size_t l = 0; l + 1 < levels_.size(); ++l) {
    levels_[l].sweep.factor(levels_[l].a);
    sum_up(levels_[l], levels_[l + 1]);
  }
  other_factors_.factor(other_diagonal_, by_joint_);
  return factor_coarsest() && other_factors_.good();
}

void GridMultigrid::multiply(const std::vector<double>& x, std::vector<double>& y) const {
  const GridMatrix& a = levels_.front().a;
  const std::size_t n = at(a.cells);
  for (std::size_t o = 0; o < other_diagonal_.size(); ++o) y[n + o] = other_diagonal_[o] * x[n + o];
  for (std::size_t j = 0; j < joints_.size(); ++j) {
    const auto p = n + at(joints_[j].first);
    const auto q = n + at(joints_[j].second);
    y[p] -= by_joint_[j] * x[q];
    y[q] -= by_joint_[j] * x[p];
  }
  for (const auto& border : a.border) y[n + at(border.other)] -= border.g * x[at(border.cell)];
  solver::multiply(a, x.data(), y.data());
}

/// The others' own rows solved for what the cells have.
void GridMultigrid::solve_others(const Level& level, const double* r, double* x) {
  const int n = level.a.cells;
  for (int o = n; o < n + others_; ++o) x[o] = r[o];
  for (const auto& border : level.a.border) x[n + border.other] += border.g * x[border.cell];
  other_factors_.solve(x + n);
}

/// `r` less `level.work` at the cells that are not held, summed up for the next level.
void GridMultigrid::restrict_residual(Level& level, const double* r, Level& next) {
  const GridMatrix& a = level.a;
  for_all(next.a.cells, [&](int parent) {
    double sum = 0;
    for (const int c : level.children[at(parent)]) {
      if (c >= 0 && a.fixed[at(c)] == 0) sum += r[c] - level.work[at(c)];
    }
    next.right[at(parent)] = sum;
  });
}

void GridMultigrid::cycle(std::size_t index, const double* r, double* x) {
  Level& level = levels_[index];
  const GridMatrix& a = level.a;
  const int n = a.cells;
  if (index + 1 == levels_.size()) {
    std::copy(r, r + n + others_, x);
    coarsest_.solve(x);
    return;
  }
  Level& next = levels_[index + 1];
  level.sweep.forward(a, r, x);
  solve_others(level, r, x);
  solver::multiply(a, x, level.work.data());
  restrict_residual(level, r, next);
  std::fill(next.right.begin() + next.a.cells, next.right.end(), 0.0);
  cycle(index + 1, next.right.data(), next.x.data());
  for_all(next.a.cells, [&](int parent) {
    for (const int c : level.children[at(parent)]) {
      if (c >= 0 && a.fixed[at(c)] == 0) x[c] += next.x[at(parent)];
    }
  });
  for (int o = 0; o < others_; ++o) x[n + o] += next.x[at(next.a.cells + o)];
  solve_others(level, r, x);
  // What the cells' rows have besides cells goes to the right-hand side.
  std::copy(r, r + n, level.work.begin());
  for (const auto& border : a.border) {
    level.work[at(border.cell)] += border.g * x[n + border.other];
  }
  level.sweep.backward(a, level.work.data(), x);
}

void GridMultigrid::apply(const std::vector<double>& r, std::vector<double>& z) {
  cycle(0, r.data(), z.data());
}

}  // namespace thawline::solver
