#include "solver/linear/hub_elimination.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "solver/at.hpp"

namespace thawline::solver {

namespace {

/// A pivot smaller than this share of its row is not used.
constexpr double least_pivot = 1e-6;

}  // namespace

HubElimination::HubElimination(int hubs, const std::vector<HubPair>& pairs)
    : order_(at(hubs)),
      spans_(at(hubs)),
      factors_(hubs, hubs),
      inverse_(hubs),
      work_(hubs),
      exchanged_(hubs) {
  Eigen::Matrix<bool, Eigen::Dynamic, Eigen::Dynamic> touch(hubs, hubs);
  touch.setConstant(false);
  for (const auto& [a, b] : pairs) touch(a, b) = touch(b, a) = a != b;
  std::iota(order_.begin(), order_.end(), 0);
  std::stable_sort(order_.begin(), order_.end(),
                   [&](int a, int b) { return touch.row(a).count() < touch.row(b).count(); });
  for (int k = 0; k < hubs; ++k) {
    spans_[at(k)].from = later_.size();
    for (int j = k + 1; j < hubs; ++j) {
      if (touch(order_[at(k)], order_[at(j)])) later_.push_back(j);
    }
    spans_[at(k)].to = later_.size();
    for (std::size_t s = spans_[at(k)].from; s < spans_[at(k)].to; ++s) {
      for (std::size_t t = spans_[at(k)].from; t < spans_[at(k)].to; ++t) {
        if (s != t) touch(order_[at(later_[s])], order_[at(later_[t])]) = true;
      }
    }
  }
}

bool HubElimination::eliminate() {
  for (std::size_t k = 0; k < spans_.size(); ++k) {
    const auto row = static_cast<Eigen::Index>(k);
    const auto [from, to] = spans_[k];
    const double pivot = factors_(row, row);
    for (std::size_t s = from; s < to; ++s) {
      if (!(std::abs(pivot) > least_pivot * std::abs(factors_(row, later_[s])))) return false;
    }
    inverse_[row] = 1 / pivot;
    for (std::size_t s = from; s < to; ++s) {
      const int i = later_[s];
      const double share = factors_(i, row) * inverse_[row];
      factors_(i, row) = share;
      for (std::size_t t = from; t < to; ++t)
        factors_(i, later_[t]) -= share * factors_(row, later_[t]);
    }
  }
  return true;
}

void HubElimination::factor(const Eigen::MatrixXd& matrix) {
  for (std::size_t k = 0; k < spans_.size(); ++k) {
    const auto row = static_cast<Eigen::Index>(k);
    factors_(row, row) = matrix(order_[k], order_[k]);
    for (std::size_t s = spans_[k].from; s < spans_[k].to; ++s) {
      const int j = later_[s];
      factors_(row, j) = matrix(order_[k], order_[at(j)]);
      factors_(j, row) = matrix(order_[at(j)], order_[k]);
    }
  }
  exchanges_ = !eliminate();
  if (exchanges_) exchanged_.compute(matrix);
}

void HubElimination::solve(Eigen::VectorXd& x) {
  if (exchanges_) {
    work_ = x;
    x.noalias() = exchanged_.solve(work_);
    return;
  }
  for (std::size_t k = 0; k < spans_.size(); ++k) {
    work_[static_cast<Eigen::Index>(k)] = x[order_[k]];
  }
  for (std::size_t k = 0; k < spans_.size(); ++k) {
    const auto row = static_cast<Eigen::Index>(k);
    for (std::size_t s = spans_[k].from; s < spans_[k].to; ++s) {
      work_[later_[s]] -= factors_(later_[s], row) * work_[row];
    }
  }
  for (std::size_t k = spans_.size(); k-- > 0;) {
    const auto row = static_cast<Eigen::Index>(k);
    double value = work_[row];
    for (std::size_t s = spans_[k].from; s < spans_[k].to; ++s) {
      value -= factors_(row, later_[s]) * work_[later_[s]];
    }
    work_[row] = value * inverse_[row];
    x[order_[k]] = work_[row];
  }
}

}  // namespace thawline::solver
