#include "solver/march/section_system.hpp"

#include <algorithm>
#include <cmath>

#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

TensorGrid tensor_of(const mesh::Grid& grid) {
  TensorGrid tensor;
  tensor.columns = static_cast<int>(grid.x.size()) - 1;
  tensor.rows = static_cast<int>(grid.z.size()) - 1;
  tensor.first = grid.first;
  tensor.count = grid.count;
  for (const int cell : grid.cell) tensor.used.push_back(cell >= 0 ? 1 : 0);
  return tensor;
}

}  // namespace

SectionSystem::SectionSystem(HeatBalance& balance, LinearMethod method)
    : balance_(balance),
      pairs_(balance.coupled_pairs()),
      system_(balance.cells() + balance.hubs(), pairs_, tensor_of(balance.network().grid),
              balance.cells(), method) {
  const std::size_t n = at(balance.cells() + balance.hubs());
  couplings_.reserve(pairs_.size());
  for (auto* values : {&diagonal_, &b_, &x_, &flow_}) values->assign(n, 0);
  fixed_.assign(n, 0);
}

void SectionSystem::evaluate(const State& state, const Conditions& conditions, Rates& rates,
                             double scale) {
  balance_.evaluate(state, conditions, rates, couplings_);
  scale_ = scale;
  const std::vector<double>& slope = balance_.slopes();
  for_all(balance_.cells(), [&](int i) {
    fixed_[at(i)] = scale <= 0 || slope[at(i)] <= 0 ? 1 : 0;
    // A cell that its own front insulates as it melts takes up less: own slopes are ≤ 0 mostly.
    const double own = std::max(0.0, -balance_.own_slope(i));
    diagonal_[at(i)] = fixed_[at(i)] != 0 ? 0 : (1 / scale + own) / slope[at(i)];
  });
  system_.set(couplings_, diagonal_, fixed_);
}

bool SectionSystem::solve(Eigen::VectorXd& cells, Eigen::VectorXd& hubs, double tolerance) {
  const auto& network = balance_.network();
  const int spread = mesh::spread_cells(network);
  for_all(spread, [&](int i) { b_[at(i)] = fixed_[at(i)] != 0 ? 0 : cells[i] / scale_; });
  for (int h = 0; h < balance_.hubs(); ++h) {
    const int cell = network.hubs[at(h)].cell;
    b_[at(balance_.cells() + h)] = cell < 0 ? hubs[h] : 0;
    if (cell >= 0) b_[at(cell)] = fixed_[at(cell)] != 0 ? 0 : hubs[h] / scale_;
  }
  if (!system_.solve(b_, x_, tolerance)) return false;
  const bool any_fixed = std::find(fixed_.begin(), fixed_.end(), 1) != fixed_.end();
  if (any_fixed) std::fill(flow_.begin(), flow_.end(), 0.0);
  for (std::size_t k = 0; any_fixed && k < pairs_.size(); ++k) {
    const auto [a, b] = pairs_[k];
    if (b < 0) continue;
    const double g = couplings_[k];
    if (fixed_[at(a)] != 0) flow_[at(a)] += g * x_[at(b)];
    if (fixed_[at(b)] != 0) flow_[at(b)] += g * x_[at(a)];
  }
  const std::vector<double>& slope = balance_.slopes();
  const auto change = [&](int cell, double residual) {
    if (fixed_[at(cell)] == 0) return x_[at(cell)] / slope[at(cell)];
    // The cell's own front moves its resistances; never more than to double the step.
    const double own = std::max(0.5, 1 - scale_ * balance_.own_slope(cell));
    return (residual + scale_ * flow_[at(cell)]) / own;
  };
  for_all(spread, [&](int i) { cells[i] = change(i, cells[i]); });
  for (int h = 0; h < balance_.hubs(); ++h) {
    const int cell = network.hubs[at(h)].cell;
    hubs[h] = cell < 0 ? x_[at(balance_.cells() + h)] : change(cell, hubs[h]);
  }
  return true;
}

}  // namespace thawline::solver
