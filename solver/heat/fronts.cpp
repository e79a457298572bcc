#include "solver/heat/fronts.hpp"

#include <algorithm>
#include <cmath>

#include "solver/at.hpp"

namespace thawline::solver {

namespace {

constexpr int far = 1 << 20;
constexpr int nothing = -1;

bool is_mixed(const CellStates& cells, int i) {
  return cells.fraction[at(i)] > 0 && cells.fraction[at(i)] < 1;
}

}  // namespace

Fronts::Fronts(const CellStates& cells, const std::vector<Neighbours>& neighbours)
    : neighbours_(neighbours),
      places_(neighbours.size(), {FrontPlace::none, FrontPlace::none}),
      reach_(neighbours.size()),
      began_(neighbours.size()) {
  for (int i = 0; i < static_cast<int>(neighbours.size()); ++i) {
    if (cells.curve(i).is_sharp()) sharp_.push_back(i);
  }
  for (int i = 0; i < cells.cells(); ++i) any_sharp_ = any_sharp_ || cells.curve(i).is_sharp();
}

int Fronts::reach(int cell, std::size_t side, const CellStates& cells) const {
  const auto is_liquid = [&](int i) { return cells.fraction[at(i)] > 0.5; };
  const int next = neighbours_[at(cell)].unknown[side];
  if (next == nothing) return far;
  if (next >= cells.cells()) {
    return (cells.temperature[at(next)] > cells.temperature[at(cell)]) != is_liquid(cell) ? 1 : far;
  }
  if (!cells.curve(next).is_sharp()) return far;
  if (is_liquid(next) != is_liquid(cell)) return 1;
  return std::min(reach_[at(next)][side] + 1, far);
}

void Fronts::place_all(const State& state, CellStates& cells) {
  for (const int i : sharp_) {
    const ThermalState s = cells.state_of(state.enthalpy[i], i);
    cells.temperature[at(i)] = s.temperature;
    cells.fraction[at(i)] = s.liquid_fraction;
  }
  std::copy(state.surface.begin(), state.surface.end(), cells.temperature.begin() + cells.cells());
  for (const int i : sharp_) {
    for (const std::size_t side : {0U, 2U}) reach_[at(i)][side] = reach(i, side, cells);
  }
  std::for_each(sharp_.rbegin(), sharp_.rend(), [&](int i) {
    for (const std::size_t side : {1U, 3U}) reach_[at(i)][side] = reach(i, side, cells);
  });
  for (const int i : sharp_) {
    for (std::size_t axis = 0; axis < 2; ++axis) {
      places_[at(i)][axis] = front_place(places_[at(i)][axis], reach_[at(i)][2 * axis],
                                         reach_[at(i)][2 * axis + 1], cells.fraction[at(i)], far);
    }
  }
  for (const int i : sharp_) {
    FrontSides sides;
    for (std::size_t axis = 0; axis < 2; ++axis) {
      const FrontSides along = sides_of(i, axis, cells);
      sides.superheat = std::max(sides.superheat, along.superheat);
      sides.subcooling = std::max(sides.subcooling, along.subcooling);
    }
    cells.mixed[at(i)] = {cells.curve(i), sides};
    if (!is_mixed(cells, i)) began_[at(i)] = cells.mixed[at(i)].sides();
  }
}

FrontSides Fronts::sides_of(int cell, std::size_t axis, const CellStates& cells) const {
  const FrontPlace place = places_[at(cell)][axis];
  const bool inward = place == FrontPlace::liquid_inward;
  if (!inward && place != FrontPlace::liquid_outward) return {};
  // The next cell of the same material, a surface, or nothing of use.
  const auto beside = [&](std::size_t which) {
    const int next = neighbours_[at(cell)].unknown[2 * axis + which];
    const bool other =
        next >= 0 && next < cells.cells() && cells.material(next) != cells.material(cell);
    return other ? nothing : next;
  };
  const int to_liquid = beside(inward ? 0 : 1);
  const int to_solid = beside(inward ? 1 : 0);
  return is_mixed(cells, cell) ? sides_of_mixed(cell, axis, to_liquid, to_solid, cells)
                               : sides_of_pure(cell, axis, to_liquid, to_solid, cells);
}

/// Kelvin over half of `cell`, by the straight line from a front that leaves the share `part` of
/// cell `holder` on the side of `end`.
double Fronts::half_cell_drop(int cell, std::size_t axis, int end, int holder, double part,
                              const CellStates& cells) const {
  if (end == nothing) return 0;
  const auto size = [&](int i) { return neighbours_[at(i)].extent[axis]; };
  const double difference = cells.temperature[at(end)] - cells.curve(cell).melting_point();
  const double before = part * size(holder);
  const double distance =
      end < cells.cells() ? before + 0.5 * size(end) : std::max(before, 0.5 * size(holder));
  return difference == 0 ? 0 : 0.5 * size(cell) * difference / distance;
}

FrontSides Fronts::sides_of_mixed(int cell, std::size_t axis, int to_liquid, int to_solid,
                                  const CellStates& cells) const {
  constexpr double settled = 0.01;
  const double f = cells.fraction[at(cell)];
  const FrontSides kept = cells.mixed[at(cell)].sides();
  if (f < settled || f > 1 - settled) return kept;
  // A neighbour that the front has all but left is no second front: its drops are out of date.
  const auto holds_front = [&](int next) {
    return next >= 0 && next < cells.cells() && cells.fraction[at(next)] > settled &&
           cells.fraction[at(next)] < 1 - settled;
  };
  const auto is_surface = [&](int next) { return next >= cells.cells(); };
  FrontSides sides = kept;
  // A front that began at the face of a body has the rest of its first cell before it, of which
  // the far cells know nothing yet: what that held at the start fades as the front crosses it.
  const FrontSides& began = began_[at(cell)];
  if (!holds_front(to_liquid)) {
    sides.superheat = std::max(0.0, half_cell_drop(cell, axis, to_liquid, cell, f, cells));
    if (is_surface(to_solid)) sides.superheat += f * (began.superheat - sides.superheat);
  }
  if (!holds_front(to_solid)) {
    sides.subcooling = std::max(0.0, -half_cell_drop(cell, axis, to_solid, cell, 1 - f, cells));
    if (is_surface(to_liquid)) sides.subcooling += (1 - f) * (began.subcooling - sides.subcooling);
  }
  return sides;
}

/// A cell of one phase changes when a front that stands beside it reaches its face. No more than
/// its own temperature allows, so that its state stays as it is.
FrontSides Fronts::sides_of_pure(int cell, std::size_t axis, int to_liquid, int to_solid,
                                 const CellStates& cells) const {
  const double melting_point = cells.curve(cell).melting_point();
  const bool liquid = cells.fraction[at(cell)] > 0.5;
  const int front_side = liquid ? to_solid : to_liquid;
  const int ahead = liquid ? to_liquid : to_solid;
  if (front_side == nothing) return {};
  const double own = std::abs(cells.temperature[at(cell)] - melting_point);
  const double beside = cells.temperature[at(front_side)] - melting_point;
  double drop = 0;
  double behind = 0;  // of the other phase, once the front is in this cell
  if (front_side < cells.cells()) {
    const double beyond = cells.fraction[at(front_side)];
    if (is_mixed(cells, front_side)) {
      const double part = liquid ? beyond : 1 - beyond;
      drop = std::abs(half_cell_drop(cell, axis, cell, front_side, part, cells));
      const FrontSides& next = cells.mixed[at(front_side)].sides();
      behind = liquid ? next.subcooling : next.superheat;
    } else if ((beyond > 0.5) != liquid) {
      drop = own;
      behind = std::abs(beside);
    }
  } else if ((beside > 0) != liquid && ahead >= 0 && ahead < cells.cells()) {
    drop = own;
    behind = 0.5 * std::abs(beside);
  }
  drop = std::min(drop, own);
  return liquid ? FrontSides{behind, drop} : FrontSides{drop, behind};
}

}  // namespace thawline::solver
