#include "solver/linear/multigrid.hpp"

#include <algorithm>
#include <cmath>

#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Unknowns with more neighbours stay alone.
constexpr int most_neighbours = 40;
/// A neighbour is strong when its entry is this share of the largest of the row.
constexpr double strong = 0.25;
constexpr int coarsest_rows = 60;
/// A level that shrinks less than this is the last.
constexpr double least_shrinking = 0.8;
/// The second step of the K-cycle is left out when the first reduces the residual to this.
constexpr double enough = 0.25;

int neighbours(const SparseMatrix& a, int i) { return a.start[at(i) + 1] - a.start[at(i)]; }

}  // namespace

Multigrid::Multigrid(const SparseMatrix& first) {
  levels_.emplace_back();
  levels_.front().a = first;
  while (levels_.back().a.rows() > coarsest_rows) {
    Level next;
    coarsen(levels_.back(), next);
    if (next.a.rows() > least_shrinking * levels_.back().a.rows()) {
      levels_.back().aggregate.clear();
      break;
    }
    levels_.push_back(std::move(next));
  }
  for (Level& level : levels_) {
    const std::size_t n = level.a.diagonal.size();
    for (auto* values : {&level.residual, &level.x, &level.right, &level.c, &level.v, &level.d}) {
      values->assign(n, 0);
    }
    level.fixed.assign(n, 0);
    colour(level);
  }
  const auto n = static_cast<Eigen::Index>(levels_.back().a.diagonal.size());
  if (!is_dense()) return;
  dense_.resize(n, n);
  dense_x_.resize(n);
}

void Multigrid::colour(Level& level) {
  const int n = level.a.rows();
  std::vector<int> colours(at(n), -1);
  int count = 0;
  std::vector<int> seen;
  for (int i = 0; i < n; ++i) {
    seen.assign(at(count) + 1, 0);
    for (int p = level.a.start[at(i)]; p < level.a.start[at(i) + 1]; ++p) {
      const int c = colours[at(level.a.column[at(p)])];
      if (c >= 0) seen[at(c)] = 1;
    }
    int c = 0;
    while (seen[at(c)] != 0) ++c;
    colours[at(i)] = c;
    count = std::max(count, c + 1);
  }
  level.colour_start.assign(at(count) + 1, 0);
  for (const int c : colours) ++level.colour_start[at(c) + 1];
  for (int c = 0; c < count; ++c) level.colour_start[at(c) + 1] += level.colour_start[at(c)];
  std::vector<int> next(level.colour_start.begin(), level.colour_start.end() - 1);
  level.by_colour.resize(at(n));
  for (int i = 0; i < n; ++i) level.by_colour[at(next[at(colours[at(i)])]++)] = i;
}

std::vector<int> Multigrid::pairs_of(const SparseMatrix& a) {
  const int n = a.rows();
  std::vector<int> aggregate(at(n), -1);
  int count = 0;
  for (int i = 0; i < n; ++i) {
    if (aggregate[at(i)] >= 0) continue;
    aggregate[at(i)] = count;
    if (neighbours(a, i) <= most_neighbours) {
      int best = -1;
      double best_value = 0;
      double largest = 0;
      for (int p = a.start[at(i)]; p < a.start[at(i) + 1]; ++p) {
        const int j = a.column[at(p)];
        if (neighbours(a, j) > most_neighbours) continue;
        const double value = -a.value[at(p)];
        largest = std::max(largest, value);
        if (aggregate[at(j)] < 0 && value > best_value) {
          best = j;
          best_value = value;
        }
      }
      if (best >= 0 && best_value >= strong * largest) aggregate[at(best)] = count;
    }
    ++count;
  }
  return aggregate;
}

SparseMatrix Multigrid::merged(const SparseMatrix& a, const std::vector<int>& aggregate,
                               int count) {
  std::vector<std::pair<int, int>> pairs;
  for (int i = 0; i < a.rows(); ++i) {
    for (int p = a.start[at(i)]; p < a.start[at(i) + 1]; ++p) {
      const int j = a.column[at(p)];
      if (j > i) pairs.emplace_back(aggregate[at(i)], aggregate[at(j)]);
    }
  }
  SparseMatrix coarse = pattern_of(count, pairs);
  for (int i = 0; i < a.rows(); ++i) {
    for (int p = a.start[at(i)]; p < a.start[at(i) + 1]; ++p) {
      const int from = aggregate[at(i)];
      const int to = aggregate[at(a.column[at(p)])];
      if (from != to) coarse.value[at(position_of(coarse, from, to))] += a.value[at(p)];
    }
  }
  return coarse;
}

void Multigrid::coarsen(Level& level, Level& next) {
  const auto count_of = [](const std::vector<int>& aggregate) {
    return aggregate.empty() ? 0 : 1 + *std::max_element(aggregate.begin(), aggregate.end());
  };
  level.aggregate = pairs_of(level.a);
  const SparseMatrix once = merged(level.a, level.aggregate, count_of(level.aggregate));
  const std::vector<int> twice = pairs_of(once);
  for (int& aggregate : level.aggregate) aggregate = twice[at(aggregate)];
  const int count = count_of(twice);
  next.a = merged(level.a, level.aggregate, count);
  level.child_start.assign(at(count) + 1, 0);
  for (const int aggregate : level.aggregate) ++level.child_start[at(aggregate) + 1];
  for (int i = 0; i < count; ++i) level.child_start[at(i) + 1] += level.child_start[at(i)];
  std::vector<int> place(level.child_start.begin(), level.child_start.end() - 1);
  level.child.resize(level.aggregate.size());
  for (int i = 0; i < level.a.rows(); ++i) {
    level.child[at(place[at(level.aggregate[at(i)])]++)] = i;
  }
  level.coarse_position.resize(level.a.value.size());
  for (int i = 0; i < level.a.rows(); ++i) {
    for (int p = level.a.start[at(i)]; p < level.a.start[at(i) + 1]; ++p) {
      const int from = level.aggregate[at(i)];
      const int to = level.aggregate[at(level.a.column[at(p)])];
      level.coarse_position[at(p)] = from == to ? -1 : position_of(next.a, from, to);
    }
  }
}

void Multigrid::sum_up(const Level& level, Level& next) {
  const SparseMatrix& a = level.a;
  const int n = next.a.rows();
  for_all(n, [&](int coarse) {
    for (int p = next.a.start[at(coarse)]; p < next.a.start[at(coarse) + 1]; ++p) {
      next.a.value[at(p)] = 0;
    }
    double diagonal = 0;
    for (int c = level.child_start[at(coarse)]; c < level.child_start[at(coarse) + 1]; ++c) {
      const int i = level.child[at(c)];
      if (level.fixed[at(i)] != 0) continue;
      diagonal += a.diagonal[at(i)];
      for (int p = a.start[at(i)]; p < a.start[at(i) + 1]; ++p) {
        const int to = level.coarse_position[at(p)];
        if (to < 0) {
          diagonal += a.value[at(p)];
        } else {
          next.a.value[at(to)] += a.value[at(p)];
        }
      }
    }
    next.fixed[at(coarse)] = diagonal > 0 ? 0 : 1;
    next.a.diagonal[at(coarse)] = diagonal > 0 ? diagonal : 1;
  });
}

void Multigrid::set(const SparseMatrix& a, const std::vector<char>& fixed) {
  Level& first = levels_.front();
  first.a.value = a.value;
  first.a.diagonal = a.diagonal;
  first.fixed = fixed;
  for (std::size_t l = 0; l + 1 < levels_.size(); ++l) sum_up(levels_[l], levels_[l + 1]);
  if (!is_dense()) return;
  const SparseMatrix& last = levels_.back().a;
  dense_.setZero();
  for (int i = 0; i < last.rows(); ++i) {
    dense_(i, i) = last.diagonal[at(i)];
    for (int p = last.start[at(i)]; p < last.start[at(i) + 1]; ++p) {
      dense_(i, last.column[at(p)]) = last.value[at(p)];
    }
  }
  coarsest_.compute(dense_);
}

void Multigrid::sweep(const Level& level, const std::vector<double>& r, std::vector<double>& x,
                      bool backward) {
  const SparseMatrix& a = level.a;
  const int colours = static_cast<int>(level.colour_start.size()) - 1;
  for (int step = 0; step < colours; ++step) {
    const int c = backward ? colours - 1 - step : step;
    const int begin = level.colour_start[at(c)];
    const int end = level.colour_start[at(c) + 1];
    for_all(end - begin, [&](int offset) {
      const int k = begin + offset;
      const int i = level.by_colour[at(k)];
      double sum = r[at(i)];
      for (int p = a.start[at(i)]; p < a.start[at(i) + 1]; ++p) {
        sum -= a.value[at(p)] * x[at(a.column[at(p)])];
      }
      x[at(i)] = sum / a.diagonal[at(i)];
    });
  }
}

void Multigrid::cycle(std::size_t index, const std::vector<double>& r, std::vector<double>& x) {
  Level& level = levels_[index];
  if (index + 1 == levels_.size()) {
    if (!is_dense()) {
      // What does not coarsen is hardly joined; sweeps there and back settle it.
      std::fill(x.begin(), x.end(), 0.0);
      for (int i = 0; i < 4; ++i) {
        sweep(level, r, x, false);
        sweep(level, r, x, true);
      }
      return;
    }
    const auto n = static_cast<Eigen::Index>(r.size());
    dense_x_ = Eigen::Map<const Eigen::VectorXd>(r.data(), n);
    coarsest_.solveInPlace(dense_x_);
    Eigen::Map<Eigen::VectorXd>(x.data(), n) = dense_x_;
    return;
  }
  Level& next = levels_[index + 1];
  const int n = level.a.rows();
  const int coarse = next.a.rows();
  std::fill(x.begin(), x.end(), 0.0);
  sweep(level, r, x, false);
  multiply(level.a, x, level.residual);
  for_all(coarse, [&](int i) {
    double sum = 0;
    for (int c = level.child_start[at(i)]; c < level.child_start[at(i) + 1]; ++c) {
      const auto child = at(level.child[at(c)]);
      if (level.fixed[child] == 0) sum += r[child] - level.residual[child];
    }
    next.right[at(i)] = next.fixed[at(i)] != 0 ? 0 : sum;
  });
  coarse_solve(index + 1);
  for_all(n, [&](int i) {
    if (level.fixed[at(i)] == 0) x[at(i)] += next.x[at(level.aggregate[at(i)])];
  });
  sweep(level, r, x, true);
}

/// Two steps of flexible conjugate gradients on the level, from its `right` into its `x`.
void Multigrid::coarse_solve(std::size_t index) {
  Level& level = levels_[index];
  if (index + 1 == levels_.size()) {
    cycle(index, level.right, level.x);
    return;
  }
  cycle(index, level.right, level.c);
  multiply(level.a, level.c, level.v);
  const double rho = dot(level.c, level.v);
  const double alpha = dot(level.c, level.right);
  if (!(rho > 0)) {
    std::fill(level.x.begin(), level.x.end(), 0.0);
    return;
  }
  const double first = alpha / rho;
  const double before = dot(level.right, level.right);
  const std::size_t n = level.x.size();
  for (std::size_t i = 0; i < n; ++i) level.right[i] -= first * level.v[i];
  if (dot(level.right, level.right) <= enough * enough * before) {
    for (std::size_t i = 0; i < n; ++i) level.x[i] = first * level.c[i];
    return;
  }
  cycle(index, level.right, level.d);
  // A d goes where the residual of this level is kept otherwise.
  multiply(level.a, level.d, level.residual);
  const double gamma = dot(level.d, level.v);
  const double beta = dot(level.d, level.residual);
  const double alpha2 = dot(level.d, level.right);
  const double rho2 = beta - gamma * gamma / rho;
  const double second = rho2 > 0 ? alpha2 / rho2 : 0;
  const double share = first - second * gamma / rho;
  for (std::size_t i = 0; i < n; ++i) level.x[i] = share * level.c[i] + second * level.d[i];
}

void Multigrid::apply(const std::vector<double>& r, std::vector<double>& z) { cycle(0, r, z); }

}  // namespace thawline::solver
