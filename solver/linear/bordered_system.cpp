#include "solver/linear/bordered_system.hpp"

#include <algorithm>
#include <utility>

namespace thawline::solver {

namespace {

std::vector<HubPair> with_blocks(std::vector<HubPair> touching, const std::vector<Block>& blocks) {
  for (const Block& block : blocks) {
    if (block.inner_hub >= 0 && block.outer_hub >= 0) {
      touching.emplace_back(block.inner_hub, block.outer_hub);
    }
  }
  return touching;
}

}  // namespace

BorderedSystem::BorderedSystem(std::vector<Block> blocks, int cells, int hub_count,
                               std::vector<HubPair> touching)
    : lower(static_cast<std::size_t>(cells)),
      diagonal(static_cast<std::size_t>(cells)),
      upper(static_cast<std::size_t>(cells)),
      inner_b(blocks.size()),
      outer_b(blocks.size()),
      inner_c(blocks.size()),
      outer_c(blocks.size()),
      hubs(hub_count, hub_count),
      blocks_(std::move(blocks)),
      multiplier_(static_cast<std::size_t>(cells)),
      pivot_(static_cast<std::size_t>(cells)),
      inner_response_(Eigen::VectorXd::Zero(cells)),
      outer_response_(Eigen::VectorXd::Zero(cells)),
      schur_(hub_count, with_blocks(std::move(touching), blocks_)) {}

void BorderedSystem::set_zero() {
  for (auto* values : {&lower, &diagonal, &upper, &inner_b, &outer_b, &inner_c, &outer_c}) {
    std::fill(values->begin(), values->end(), 0.0);
  }
  hubs.setZero();
}

void BorderedSystem::forward_back(const Block& block, Eigen::VectorXd& x) const {
  const int last = block.first + block.count - 1;
  for (int i = block.first + 1; i <= last; ++i) {
    x[i] -= multiplier_[static_cast<std::size_t>(i)] * x[i - 1];
  }
  back(block, x);
}

void BorderedSystem::back(const Block& block, Eigen::VectorXd& x) const {
  const int last = block.first + block.count - 1;
  x[last] *= pivot_[static_cast<std::size_t>(last)];
  for (int i = last - 1; i >= block.first; --i) {
    const auto k = static_cast<std::size_t>(i);
    x[i] = (x[i] - upper[k] * x[i + 1]) * pivot_[k];
  }
}

void BorderedSystem::respond_from_inner(const Block& block, double b) {
  const int last = block.first + block.count - 1;
  Eigen::VectorXd& x = inner_response_;
  x[block.first] = b;
  for (int i = block.first + 1; i <= last; ++i) {
    x[i] = -multiplier_[static_cast<std::size_t>(i)] * x[i - 1];
  }
  back(block, x);
}

void BorderedSystem::respond_from_outer(const Block& block, double b) {
  const int last = block.first + block.count - 1;
  Eigen::VectorXd& x = outer_response_;
  x[last] = b * pivot_[static_cast<std::size_t>(last)];
  for (int i = last - 1; i >= block.first; --i) {
    const auto k = static_cast<std::size_t>(i);
    x[i] = -upper[k] * x[i + 1] * pivot_[k];
  }
}

void BorderedSystem::eliminate_blocks() {
  const auto eliminate = [this](int i) {
    const auto row = static_cast<std::size_t>(i);
    multiplier_[row] = lower[row] * pivot_[row - 1];
    pivot_[row] = 1 / (diagonal[row] - multiplier_[row] * upper[row - 1]);
  };
  for (const Block& block : blocks_) {
    const auto row = static_cast<std::size_t>(block.first);
    pivot_[row] = 1 / diagonal[row];
  }
  // Each row waits for the division of the row before it: two blocks side by side wait together.
  for (std::size_t k = 0; k < blocks_.size(); k += 2) {
    const Block one = blocks_[k];
    const Block other = k + 1 < blocks_.size() ? blocks_[k + 1] : Block{};
    const int both = std::min(one.count, other.count);
    for (int i = 1; i < both; ++i) {
      eliminate(one.first + i);
      eliminate(other.first + i);
    }
    for (int i = std::max(1, both); i < one.count; ++i) eliminate(one.first + i);
    for (int i = std::max(1, both); i < other.count; ++i) eliminate(other.first + i);
  }
}

void BorderedSystem::factor() {
  eliminate_blocks();
  for (std::size_t k = 0; k < blocks_.size(); ++k) {
    const Block& block = blocks_[k];
    const int last = block.first + block.count - 1;
    const int a = block.inner_hub;
    const int b = block.outer_hub;
    if (a >= 0) {
      respond_from_inner(block, inner_b[k]);
      hubs(a, a) -= inner_c[k] * inner_response_[block.first];
    }
    if (b >= 0) {
      respond_from_outer(block, outer_b[k]);
      hubs(b, b) -= outer_c[k] * outer_response_[last];
    }
    if (a >= 0 && b >= 0) {
      hubs(a, b) -= inner_c[k] * outer_response_[block.first];
      hubs(b, a) -= outer_c[k] * inner_response_[last];
    }
  }
  schur_.factor(hubs);
}

void BorderedSystem::solve(Eigen::VectorXd& cells, Eigen::VectorXd& hub_values) {
  for (std::size_t k = 0; k < blocks_.size(); ++k) {
    const Block& block = blocks_[k];
    forward_back(block, cells);
    if (block.inner_hub >= 0) hub_values[block.inner_hub] -= inner_c[k] * cells[block.first];
    if (block.outer_hub >= 0) {
      hub_values[block.outer_hub] -= outer_c[k] * cells[block.first + block.count - 1];
    }
  }
  schur_.solve(hub_values);
  for (const Block& block : blocks_) {
    const double inner = block.inner_hub >= 0 ? hub_values[block.inner_hub] : 0;
    const double outer = block.outer_hub >= 0 ? hub_values[block.outer_hub] : 0;
    for (int i = block.first; i < block.first + block.count; ++i) {
      cells[i] -= inner * inner_response_[i] + outer * outer_response_[i];
    }
  }
}

}  // namespace thawline::solver
