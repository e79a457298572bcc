#pragma once

#include <vector>

#include "solver/linear/bordered_system.hpp"
#include "speed/lane.hpp"

/// The elimination of `BorderedSystem` and `HubElimination` for cases of one structure in lanes.
namespace thawline::validation {

/// Where the systems of a group have entries: the blocks, and the hubs in the order in which they
/// are eliminated.
struct LanePattern {
  std::vector<solver::Block> blocks;
  int cells = 0, hubs = 0;
  std::vector<int> order, place;        ///< hub by turn, turn by hub
  std::vector<std::vector<int>> later;  ///< by turn: the turns after it that it touches
};

/// Of systems whose hubs hold their Schur complements, as `BorderedSystem::factor` leaves them.
[[nodiscard]] LanePattern pattern_of(const std::vector<solver::BorderedSystem>& factored);

/// The systems and right-hand sides of a group, and the work of their elimination.
template <class L>
struct LaneSystem {
  std::vector<L> lower, diagonal, upper;
  std::vector<L> inner_b, outer_b, inner_c, outer_c;
  std::vector<L> hubs;  ///< by row
  std::vector<L> cell_values, hub_values;
  std::vector<L> cells, surfaces;  ///< the solution
  std::vector<L> multiplier, pivot, inner_response, outer_response, factors, inverse, turns;
};

/// Factors and solves. The steps are those of the library, without its exchange of rows.
template <class L>
[[gnu::always_inline]] inline void eliminate(const LanePattern& pattern, LaneSystem<L>& s) {
  const auto at = [](int i) { return static_cast<std::size_t>(i); };
  const auto hubs = at(pattern.hubs);
  for (std::size_t k = 0; k < hubs; ++k) {
    const std::size_t row = at(pattern.order[k]);
    s.factors[k * hubs + k] = s.hubs[row * hubs + row];
    s.turns[k] = s.hub_values[row];
    for (const int j : pattern.later[k]) {
      const std::size_t other = at(pattern.order[at(j)]);
      s.factors[k * hubs + at(j)] = s.hubs[row * hubs + other];
      s.factors[at(j) * hubs + k] = s.hubs[other * hubs + row];
    }
  }
  for (std::size_t k = 0; k < pattern.blocks.size(); ++k) {
    const solver::Block& block = pattern.blocks[k];
    const std::size_t first = at(block.first);
    const std::size_t last = at(block.first + block.count - 1);
    s.pivot[first] = inverse_of(s.diagonal[first]);
    s.cells[first] = s.cell_values[first];
    for (std::size_t i = first + 1; i <= last; ++i) {
      s.multiplier[i] = s.lower[i] * s.pivot[i - 1];
      s.pivot[i] = inverse_of(s.diagonal[i] - s.multiplier[i] * s.upper[i - 1]);
      s.cells[i] = s.cell_values[i] - s.multiplier[i] * s.cells[i - 1];
    }
    s.cells[last] *= s.pivot[last];
    for (std::size_t i = last; i-- > first;) {
      s.cells[i] = (s.cells[i] - s.upper[i] * s.cells[i + 1]) * s.pivot[i];
    }
    const bool inner = block.inner_hub >= 0;
    const bool outer = block.outer_hub >= 0;
    const std::size_t a = inner ? at(pattern.place[at(block.inner_hub)]) : 0;
    const std::size_t b = outer ? at(pattern.place[at(block.outer_hub)]) : 0;
    if (inner) {
      s.inner_response[first] = s.inner_b[k];
      for (std::size_t i = first + 1; i <= last; ++i) {
        s.inner_response[i] = -s.multiplier[i] * s.inner_response[i - 1];
      }
      s.inner_response[last] *= s.pivot[last];
      for (std::size_t i = last; i-- > first;) {
        s.inner_response[i] =
            (s.inner_response[i] - s.upper[i] * s.inner_response[i + 1]) * s.pivot[i];
      }
      s.factors[a * hubs + a] -= s.inner_c[k] * s.inner_response[first];
      s.turns[a] -= s.inner_c[k] * s.cells[first];
    }
    if (outer) {
      s.outer_response[last] = s.outer_b[k] * s.pivot[last];
      for (std::size_t i = last; i-- > first;) {
        s.outer_response[i] = -s.upper[i] * s.outer_response[i + 1] * s.pivot[i];
      }
      s.factors[b * hubs + b] -= s.outer_c[k] * s.outer_response[last];
      s.turns[b] -= s.outer_c[k] * s.cells[last];
    }
    if (inner && outer) {
      s.factors[a * hubs + b] -= s.inner_c[k] * s.outer_response[first];
      s.factors[b * hubs + a] -= s.outer_c[k] * s.inner_response[last];
    }
  }
  for (std::size_t k = 0; k < hubs; ++k) {
    s.inverse[k] = inverse_of(s.factors[k * hubs + k]);
    for (const int i : pattern.later[k]) {
      const L share = s.factors[at(i) * hubs + k] * s.inverse[k];
      s.turns[at(i)] -= share * s.turns[k];
      for (const int j : pattern.later[k]) {
        s.factors[at(i) * hubs + at(j)] -= share * s.factors[k * hubs + at(j)];
      }
    }
  }
  for (std::size_t k = hubs; k-- > 0;) {
    L value = s.turns[k];
    for (const int j : pattern.later[k]) value -= s.factors[k * hubs + at(j)] * s.turns[at(j)];
    s.turns[k] = value * s.inverse[k];
    s.surfaces[at(pattern.order[k])] = s.turns[k];
  }
  for (const solver::Block& block : pattern.blocks) {
    const std::size_t first = at(block.first);
    const std::size_t end = at(block.first + block.count);
    if (block.inner_hub >= 0) {
      const L inner = s.surfaces[at(block.inner_hub)];
      for (std::size_t i = first; i < end; ++i) s.cells[i] -= inner * s.inner_response[i];
    }
    if (block.outer_hub >= 0) {
      const L outer = s.surfaces[at(block.outer_hub)];
      for (std::size_t i = first; i < end; ++i) s.cells[i] -= outer * s.outer_response[i];
    }
  }
}

}  // namespace thawline::validation
