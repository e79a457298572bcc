#include <algorithm>
#include <cmath>

#include "solver/heat/heat_balance.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

void HeatBalance::place_fronts(const State& state) {
  for (int i = 0; i < network_.chain_cells; ++i) {
    const ThermalState s = thermal_state(state, i);
    temperature_[at(i)] = s.temperature;
    fraction_[at(i)] = s.liquid_fraction;
  }
  for (const auto& column : network_.columns) {
    orient_fronts(column, state);
    set_front_sides(column, state);
  }
  if (has_section()) place_grid_fronts(state);
}

void HeatBalance::orient_fronts(const mesh::Column& column, const State& state) {
  constexpr int far = 1 << 20;
  const int first = column.first;
  const int last = first + column.count - 1;
  const auto is_liquid = [&](int i) { return fraction_[at(i)] > 0.5; };
  const auto hub_differs = [&](int hub, int cell) {
    return hub >= 0 && (hub_temperature(state, hub) > temperature_[at(cell)]) != is_liquid(cell);
  };
  const auto distance = [&](int i, int end, int hub, int step, const std::vector<int>& known) {
    if (i == end) return hub_differs(hub, i) ? 1 : far;
    const int next = i + step;
    if (!curve(next).is_sharp()) return far;
    if (is_liquid(next) != is_liquid(i)) return 1;
    return std::min(known[at(next)] + 1, far);
  };
  for (int i = first; i <= last; ++i) {
    inward_[at(i)] = distance(i, first, column.inner_hub, -1, inward_);
  }
  for (int i = last; i >= first; --i) {
    outward_[at(i)] = distance(i, last, column.outer_hub, 1, outward_);
  }
  for (int i = first; i <= last; ++i) {
    if (!curve(i).is_sharp()) continue;
    fronts_[at(i)] =
        front_place(fronts_[at(i)], inward_[at(i)], outward_[at(i)], fraction_[at(i)], far);
  }
}

FrontSides HeatBalance::front_sides(const mesh::Column& column, int cell,
                                    const State& state) const {
  const FrontPlace place = fronts_[at(cell)];
  const bool inward = place == FrontPlace::liquid_inward;
  if (!inward && place != FrontPlace::liquid_outward) return {};
  const auto side = [&](int step) -> FrontNeighbour {
    const int next = cell + step;
    if (next >= column.first && next < column.first + column.count) {
      return network_.cells[at(next)].material == network_.cells[at(cell)].material
                 ? FrontNeighbour{next, -1}
                 : FrontNeighbour{};
    }
    return {-1, step < 0 ? column.inner_hub : column.outer_hub};
  };
  return front_sides(cell, side(inward ? -1 : 1), side(inward ? 1 : -1), -1, state);
}

FrontSides HeatBalance::front_sides(int cell, const FrontNeighbour& to_liquid,
                                    const FrontNeighbour& to_solid, int axis,
                                    const State& state) const {
  using Side = FrontNeighbour;
  const FrontSides kept = mixed_[at(cell)].sides();
  const double f = fraction_[at(cell)];
  const double melting_point = curve(cell).melting_point();
  const auto is_mixed = [&](int i) { return fraction_[at(i)] > 0 && fraction_[at(i)] < 1; };
  const auto size = [&](int i) {
    if (axis >= 0) return grid_.width[at(i - network_.grid.first)][at(axis)];
    return network_.cells[at(i)].inner_shape + network_.cells[at(i)].outer_shape;
  };
  // Kelvin over half of this cell, by the straight line from a front that leaves the share `part`
  // of cell `holder` on the side of `end`.
  const auto half_cell_drop = [&](const Side& end, int holder, double part) {
    double difference = 0;
    double distance = part * size(holder);
    if (end.cell >= 0) {
      difference = temperature_[at(end.cell)] - melting_point;
      distance += 0.5 * size(end.cell);
    } else if (end.hub >= 0) {
      difference = hub_temperature(state, end.hub) - melting_point;
      distance = std::max(distance, 0.5 * size(holder));
    }
    return difference == 0 ? 0 : 0.5 * size(cell) * difference / distance;
  };
  if (is_mixed(cell)) {
    constexpr double settled = 0.01;
    // A neighbour that the front has all but left is no second front: its drops are out of date.
    const auto holds_front = [&](const Side& next) {
      return next.cell >= 0 && fraction_[at(next.cell)] > settled &&
             fraction_[at(next.cell)] < 1 - settled;
    };
    if (f < settled || f > 1 - settled) return kept;
    FrontSides sides = kept;
    // A front that began at the face of a body has the rest of its first cell before it, of which
    // the far cells know nothing yet: what that held at the start fades as the front crosses it.
    const FrontSides& began = began_[at(cell)];
    if (!holds_front(to_liquid)) {
      sides.superheat = std::max(0.0, half_cell_drop(to_liquid, cell, f));
      if (to_solid.hub >= 0) sides.superheat += f * (began.superheat - sides.superheat);
    }
    if (!holds_front(to_solid)) {
      sides.subcooling = std::max(0.0, -half_cell_drop(to_solid, cell, 1 - f));
      if (to_liquid.hub >= 0) sides.subcooling += (1 - f) * (began.subcooling - sides.subcooling);
    }
    return sides;
  }
  // A cell of one phase: it changes when a front that stands beside it reaches its face. No more
  // than its own temperature allows, so that its state stays as it is.
  const bool liquid = f > 0.5;
  const Side& front_side = liquid ? to_solid : to_liquid;
  const double own = std::abs(temperature_[at(cell)] - melting_point);
  double drop = 0;
  double behind = 0;  // of the other phase, once the front is in this cell
  if (front_side.cell >= 0) {
    const double beyond = fraction_[at(front_side.cell)];
    if (is_mixed(front_side.cell)) {
      const double part = liquid ? beyond : 1 - beyond;
      drop = std::abs(half_cell_drop({cell, -1}, front_side.cell, part));
      const FrontSides& next = mixed_[at(front_side.cell)].sides();
      behind = liquid ? next.subcooling : next.superheat;
    } else if ((beyond > 0.5) != liquid) {
      drop = own;
      behind = std::abs(temperature_[at(front_side.cell)] - melting_point);
    }
  } else if (front_side.hub >= 0) {
    const double hub = hub_temperature(state, front_side.hub) - melting_point;
    const Side& ahead = liquid ? to_liquid : to_solid;
    if ((hub > 0) != liquid && ahead.cell >= 0) {
      drop = own;
      behind = 0.5 * std::abs(hub);
    }
  }
  drop = std::min(drop, own);
  return liquid ? FrontSides{behind, drop} : FrontSides{drop, behind};
}

void HeatBalance::set_front_sides(const mesh::Column& column, const State& state) {
  for (int i = column.first; i < column.first + column.count; ++i) {
    if (!curve(i).is_sharp()) continue;
    mixed_[at(i)] = {curve(i), front_sides(column, i, state)};
    if (fraction_[at(i)] <= 0 || fraction_[at(i)] >= 1) began_[at(i)] = mixed_[at(i)].sides();
  }
}

}  // namespace thawline::solver
