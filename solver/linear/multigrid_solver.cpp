#include "solver/linear/multigrid_solver.hpp"

#include <algorithm>
#include <cmath>

#include "solver/at.hpp"
#include "solver/linear/dot.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

MultigridSolver::MultigridSolver(int unknowns, const std::vector<std::pair<int, int>>& pairs,
                                 const TensorGrid& grid, int surfaces_from)
    : stars_(unknowns, pairs, grid, surfaces_from), multigrid_(stars_) {
  by_joint_.assign(stars_.joints().size(), 0);
  for (auto* values : {&b_, &x_, &r_, &z_, &p_, &q_}) {
    values->assign(at(stars_.cells() + stars_.others()), 0);
  }
}

bool MultigridSolver::prepare(const std::vector<double>& conductances,
                              const std::vector<double>& diagonal, const std::vector<char>& held) {
  stars_.reduce(conductances, diagonal, held, multigrid_.finest(), other_diagonal_, by_joint_);
  return multigrid_.set(other_diagonal_, by_joint_);
}

bool MultigridSolver::solve(const std::vector<double>& b, std::vector<double>& x,
                            double tolerance) {
  stars_.gather(b, b_);
  if (!iterate(tolerance)) return false;
  stars_.spread(x_, x);
  return true;
}

bool MultigridSolver::iterate(double tolerance) {
  constexpr int most_iterations = 200;
  const int n = static_cast<int>(b_.size());
  std::fill(x_.begin(), x_.end(), 0.0);
  r_ = b_;
  const double size = std::sqrt(dot(b_, b_));
  if (!std::isfinite(size)) return false;
  if (size == 0) return true;
  double old_rz = 0;
  for (int i = 0; i < most_iterations; ++i) {
    multigrid_.apply(r_, z_);
    ++iterations_;
    const double rz = dot(r_, z_);
    const double beta = i == 0 ? 0 : rz / old_rz;
    for_all(n, [&](int k) { p_[at(k)] = z_[at(k)] + beta * p_[at(k)]; });
    multigrid_.multiply(p_, q_);
    const double pq = dot(p_, q_);
    if (!(pq > 0)) return false;
    const double alpha = rz / pq;
    for_all(n, [&](int k) {
      x_[at(k)] += alpha * p_[at(k)];
      r_[at(k)] -= alpha * q_[at(k)];
    });
    old_rz = rz;
    if (std::sqrt(dot(r_, r_)) <= tolerance * size) return true;
  }
  return false;
}

}  // namespace thawline::solver
