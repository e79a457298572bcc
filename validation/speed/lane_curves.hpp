#pragma once

#include <algorithm>
#include <array>
#include <vector>

#include "solver/heat/enthalpy_curve.hpp"
#include "speed/lane.hpp"

/// T(h) of cells in lanes, each case on a piece of the curve of its own.
namespace thawline::validation {

/// A curve by pieces.
struct CurveTable {
  std::vector<double> knots;                 ///< J/kg, one more than pieces
  std::vector<solver::ThermalState> pieces;  ///< state at the left knot, slopes in the piece
};

[[nodiscard]] CurveTable table_of(const solver::EnthalpyCurve& curve);

template <class L>
struct LaneCell {
  const CurveTable* table = nullptr;  ///< null where T(h) is straight
  L mass{};                           ///< kg
  L enthalpy{};                       ///< J
  L zero{};                           ///< K, of a straight cell that holds nothing
  L temperature{}, slope{}, fraction{}, fraction_slope{};
  std::array<std::size_t, L::cases> piece{};  ///< where each case was last
};

/// Temperature, liquid fraction and their slopes of every cell. The pieces are fetched lane by
/// lane; all else is done in lanes.
template <class L>
[[gnu::always_inline]] inline void update_temperatures(std::vector<LaneCell<L>>& cells) {
  for (LaneCell<L>& cell : cells) {
    if (cell.table == nullptr) {
      cell.temperature = cell.zero + cell.slope * cell.enthalpy;
      continue;
    }
    const CurveTable& table = *cell.table;
    L h = cell.enthalpy / cell.mass;
    L low{};
    L high{};
    L temperature{};
    L slope{};
    L fraction{};
    L fraction_slope{};
    for (int l = 0; l < L::cases; ++l) {
      const std::size_t piece = cell.piece[static_cast<std::size_t>(l)];
      low[l] = table.knots[piece];
      high[l] = table.knots[piece + 1];
    }
    bool moved = false;
    for (int l = 0; l < L::cases; ++l) moved = moved | (h[l] < low[l]) | (h[l] >= high[l]);
    if (moved) {
      for (int l = 0; l < L::cases; ++l) {
        const auto upper = std::upper_bound(table.knots.begin() + 1, table.knots.end() - 1, h[l]);
        const auto piece = static_cast<std::size_t>(upper - table.knots.begin()) - 1;
        cell.piece[static_cast<std::size_t>(l)] = piece;
        low[l] = table.knots[piece];
      }
    }
    for (int l = 0; l < L::cases; ++l) {
      const solver::ThermalState& state = table.pieces[cell.piece[static_cast<std::size_t>(l)]];
      temperature[l] = state.temperature;
      slope[l] = state.slope;
      fraction[l] = state.liquid_fraction;
      fraction_slope[l] = state.fraction_slope;
    }
    const L beyond = h - low;
    cell.temperature = temperature + beyond * slope;
    cell.slope = slope / cell.mass;
    cell.fraction = fraction + beyond * fraction_slope;
    cell.fraction_slope = fraction_slope / cell.mass;
  }
}

}  // namespace thawline::validation
