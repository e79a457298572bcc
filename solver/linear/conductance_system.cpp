#include "solver/linear/conductance_system.hpp"

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>

#include "solver/linear/multigrid.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

struct ConductanceSystem::Cholesky {
  Eigen::SparseMatrix<double> lower;
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factors;
};

ConductanceSystem::~ConductanceSystem() = default;

ConductanceSystem::ConductanceSystem(int unknowns, std::vector<std::pair<int, int>> pairs,
                                     LinearMethod method)
    : pairs_(std::move(pairs)), matrix_(pattern_of(unknowns, pairs_)), sums_(at(unknowns)) {
  direct_ =
      method == LinearMethod::by_size ? unknowns <= direct_up_to : method == LinearMethod::direct;
  entries_.reserve(pairs_.size());
  for (const auto& [a, b] : pairs_) {
    if (a < 0 || b < 0 || a == b) {
      entries_.emplace_back();
    } else {
      entries_.push_back({position_of(matrix_, a, b), position_of(matrix_, b, a)});
    }
  }
  fixed_.assign(at(unknowns), 0);
  if (direct_) {
    std::vector<Eigen::Triplet<double>> triplets;
    for (int i = 0; i < unknowns; ++i) {
      triplets.emplace_back(i, i, 1.0);
      for (int p = matrix_.start[at(i)]; p < matrix_.start[at(i) + 1]; ++p) {
        if (matrix_.column[at(p)] < i) triplets.emplace_back(i, matrix_.column[at(p)], 1.0);
      }
    }
    cholesky_ = std::make_unique<Cholesky>();
    cholesky_->lower.resize(unknowns, unknowns);
    cholesky_->lower.setFromTriplets(triplets.begin(), triplets.end());
    cholesky_->factors.analyzePattern(cholesky_->lower);
  } else {
    for (auto* values : {&r_, &z_, &p_, &q_, &old_r_}) values->assign(at(unknowns), 0);
  }
}

void ConductanceSystem::set(const std::vector<double>& conductances,
                            const std::vector<double>& diagonal, const std::vector<char>& fixed) {
  factored_ = false;
  fixed_ = fixed;
  if (!direct_ && !multigrid_) make_multigrid(conductances);
  std::fill(sums_.begin(), sums_.end(), 0.0);
  std::fill(matrix_.value.begin(), matrix_.value.end(), 0.0);
  for (std::size_t k = 0; k < pairs_.size(); ++k) {
    const auto [a, b] = pairs_[k];
    const double g = conductances[k];
    if (a == b) continue;
    if (a >= 0) sums_[at(a)] += g;
    if (b >= 0) sums_[at(b)] += g;
    const Entry& entry = entries_[k];
    if (entry.first < 0 || fixed_[at(a)] != 0 || fixed_[at(b)] != 0) continue;
    matrix_.value[at(entry.first)] -= g;
    matrix_.value[at(entry.second)] -= g;
  }
  for (std::size_t i = 0; i < sums_.size(); ++i) {
    const double d = sums_[i] + diagonal[i];
    matrix_.diagonal[i] = fixed_[i] != 0 || d <= 0 ? 1 : d;
  }
}

/// Aggregates follow the conductances alone, whatever is held at first.
void ConductanceSystem::make_multigrid(const std::vector<double>& conductances) {
  SparseMatrix all = matrix_;
  std::fill(all.value.begin(), all.value.end(), 0.0);
  for (std::size_t k = 0; k < pairs_.size(); ++k) {
    const Entry& entry = entries_[k];
    if (entry.first < 0) continue;
    all.value[at(entry.first)] -= conductances[k];
    all.value[at(entry.second)] -= conductances[k];
  }
  multigrid_ = std::make_unique<Multigrid>(all);
}

void ConductanceSystem::factor() {
  factored_ = true;
  if (!direct_) {
    multigrid_->set(matrix_, fixed_);
    return;
  }
  for (int j = 0; j < cholesky_->lower.outerSize(); ++j) {
    for (Eigen::SparseMatrix<double>::InnerIterator it(cholesky_->lower, j); it; ++it) {
      const auto i = static_cast<int>(it.row());
      it.valueRef() =
          i == j ? matrix_.diagonal[at(i)] : matrix_.value[at(position_of(matrix_, i, j))];
    }
  }
  cholesky_->factors.factorize(cholesky_->lower);
}

bool ConductanceSystem::solve(const std::vector<double>& b, std::vector<double>& x,
                              double tolerance) {
  if (!factored_) factor();
  ++solves_;
  if (!direct_) return iterate(b, x, tolerance);
  const auto n = static_cast<Eigen::Index>(b.size());
  if (cholesky_->factors.info() != Eigen::Success) return false;
  Eigen::Map<Eigen::VectorXd>(x.data(), n) =
      cholesky_->factors.solve(Eigen::Map<const Eigen::VectorXd>(b.data(), n));
  return true;
}

bool ConductanceSystem::iterate(const std::vector<double>& b, std::vector<double>& x,
                                double tolerance) {
  constexpr int most_iterations = 200;
  const int n = static_cast<int>(b.size());
  std::fill(x.begin(), x.end(), 0.0);
  r_ = b;
  const double size = std::sqrt(dot(b, b));
  if (!std::isfinite(size)) return false;
  if (size == 0) return true;
  double old_rz = 0;
  for (int i = 0; i < most_iterations; ++i) {
    multigrid_->apply(r_, z_);
    ++iterations_;
    const double rz = dot(r_, z_);
    // Flexible: the preconditioner is not the same linear map each time.
    const double beta = i == 0 ? 0 : (rz - dot(old_r_, z_)) / old_rz;
    for_all(n, [&](int k) { p_[at(k)] = z_[at(k)] + beta * p_[at(k)]; });
    multiply(matrix_, p_, q_);
    const double pq = dot(p_, q_);
    if (!(pq > 0)) return false;
    const double alpha = dot(p_, r_) / pq;
    old_r_ = r_;
    for_all(n, [&](int k) {
      x[at(k)] += alpha * p_[at(k)];
      r_[at(k)] -= alpha * q_[at(k)];
    });
    old_rz = rz;
    if (std::sqrt(dot(r_, r_)) <= tolerance * size) return true;
  }
  return false;
}

}  // namespace thawline::solver
