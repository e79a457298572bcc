#include "solver/linear/section_system.hpp"

#include <algorithm>
#include <cmath>

#include "solver/at.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

SectionSystem::SectionSystem(const HeatBalance& balance, std::unique_ptr<ConductanceSolver> solver)
    : cells_(balance.cells()),
      grid_first_(balance.network().grid.first),
      grid_end_(grid_first_ + balance.network().grid.count),
      pairs_(balance.coupled_pairs()),
      solver_(std::move(solver)),
      sums_(at(balance.hubs())) {
  const std::size_t n = at(balance.cells() + balance.hubs());
  for (std::size_t k = 0; k < pairs_.size(); ++k) {
    if (std::max(pairs_[k].first, pairs_[k].second) >= cells_) at_surface_.push_back(k);
  }
  conductances_.reserve(pairs_.size());
  for (auto* values : {&diagonal_, &b_, &x_, &flow_, &slope_, &own_}) values->assign(n, 0);
  held_.assign(n, 0);
}

void SectionSystem::assemble(const HeatBalance& balance, double scale) {
  scale_ = scale;
  prepared_ = false;
  balance.conductances(conductances_);
  const std::vector<double>& slope = balance.cell_states().slope;
  for_all(cells_, [&](int i) {
    slope_[at(i)] = slope[at(i)];
    held_[at(i)] = scale <= 0 || slope[at(i)] <= 0 ? 1 : 0;
    own_[at(i)] = i >= grid_first_ && i < grid_end_ ? balance.faces().own_slope(i) : 0;
    // A cell that its own front insulates as it melts takes up less: own slopes are ≤ 0 mostly.
    const double own = std::max(0.0, -own_[at(i)]);
    diagonal_[at(i)] = held_[at(i)] != 0 ? 0 : (1 / scale + own) / slope[at(i)];
  });
  std::fill(sums_.begin(), sums_.end(), 0.0);
  for (const std::size_t k : at_surface_) {
    const auto [a, b] = pairs_[k];
    if (a == b) continue;
    if (a >= cells_) sums_[at(a - cells_)] += conductances_[k];
    if (b >= cells_) sums_[at(b - cells_)] += conductances_[k];
  }
}

bool SectionSystem::solve(Eigen::VectorXd& unknowns, double tolerance) {
  if (!prepared_) good_ = solver_->prepare(conductances_, diagonal_, held_);
  prepared_ = true;
  if (!good_) return false;
  for_all(cells_, [&](int i) { b_[at(i)] = held_[at(i)] != 0 ? 0 : unknowns[i] / scale_; });
  std::copy(unknowns.begin() + cells_, unknowns.end(), b_.begin() + cells_);
  if (!solver_->solve(b_, x_, tolerance)) return false;
  const bool any_held = std::find(held_.begin(), held_.end(), 1) != held_.end();
  if (any_held) std::fill(flow_.begin(), flow_.end(), 0.0);
  for (std::size_t k = 0; any_held && k < pairs_.size(); ++k) {
    const auto [a, b] = pairs_[k];
    if (b < 0) continue;
    const double g = conductances_[k];
    if (held_[at(a)] != 0) flow_[at(a)] += g * x_[at(b)];
    if (held_[at(b)] != 0) flow_[at(b)] += g * x_[at(a)];
  }
  for_all(cells_, [&](int i) {
    if (held_[at(i)] == 0) {
      unknowns[i] = x_[at(i)] / slope_[at(i)];
      return;
    }
    // The cell's own front moves its resistances; never more than to double the step.
    const double own = std::max(0.5, 1 - scale_ * own_[at(i)]);
    unknowns[i] = (unknowns[i] + scale_ * flow_[at(i)]) / own;
  });
  std::copy(x_.begin() + cells_, x_.end(), unknowns.begin() + cells_);
  return true;
}

}  // namespace thawline::solver
