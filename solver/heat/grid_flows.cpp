#include <algorithm>

#include "solver/heat/heat_balance.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

void HeatBalance::prepare_grid() {
  const auto& grid = network_.grid;
  const std::size_t n = at(grid.count);
  grid_.neighbours.assign(n, {});
  grid_.face.assign(n, {-1, -1, -1, -1});
  grid_.width.resize(n);
  grid_.resistivity.resize(n);
  grid_.by_enthalpy.assign(n, {0, 0, 0, 0});
  grid_.fronts.assign(n, {FrontPlace::none, FrontPlace::none});
  grid_.reach.resize(n);
  grid_.constant.assign(n, 0);
  grid_.own_slope.assign(n, 0);
  grid_.flow.resize(grid.faces.size());
  grid_.by_low.resize(grid.faces.size());
  grid_.by_high.resize(grid.faces.size());
  for (std::size_t f = 0; f < grid.faces.size(); ++f) {
    const auto& face = grid.faces[f];
    const auto side = at(2 * face.axis);
    if (face.low >= 0) {
      grid_.neighbours[at(face.low - grid.first)][side + 1] = {face.high, face.hub};
      grid_.face[at(face.low - grid.first)][side + 1] = static_cast<int>(f);
    }
    if (face.high >= 0) {
      grid_.neighbours[at(face.high - grid.first)][side] = {face.low, face.hub};
      grid_.face[at(face.high - grid.first)][side] = static_cast<int>(f);
    }
  }
  const std::size_t columns = grid.x.size() - 1;
  for (std::size_t place = 0; place < grid.cell.size(); ++place) {
    if (grid.cell[place] < 0) continue;
    const std::size_t i = place % columns;
    const std::size_t k = place / columns;
    grid_.width[at(grid.cell[place] - grid.first)] = {grid.x[i + 1] - grid.x[i],
                                                      grid.z[k + 1] - grid.z[k]};
  }
  for (int i = grid.first; i < grid.first + grid.count; ++i) {
    const int material = network_.cells[at(i)].material;
    if (curve(i).melts() || !resistivity_[at(material)].fixed) continue;
    grid_.constant[at(i - grid.first)] = 1;
    grid_.resistivity[at(i - grid.first)].fill(resistivity_[at(material)].solid);
  }
  grid_.conductance.assign(grid.faces.size(), 0);
  for (std::size_t f = 0; f < grid.faces.size(); ++f) {
    const auto& face = grid.faces[f];
    const auto changes = [&](int cell) {
      return cell >= 0 && grid_.constant[at(cell - grid.first)] == 0;
    };
    if (changes(face.low) || changes(face.high)) continue;
    grid_.conductance[f] = 1 / face_resistance(face);
  }
}

double HeatBalance::face_resistance(const mesh::GridFace& face) const {
  const auto side = at(2 * face.axis);
  const int first = network_.grid.first;
  double resistance = 0;
  if (face.low >= 0) {
    resistance += face.low_shape * grid_.resistivity[at(face.low - first)][side + 1];
  }
  if (face.high >= 0) {
    resistance += face.high_shape * grid_.resistivity[at(face.high - first)][side];
  }
  return resistance;
}

void HeatBalance::update_grid_resistances() {
  const auto& grid = network_.grid;
  for_all(grid.count, [&](int k) {
    if (grid_.constant[at(k)] != 0) return;
    const int cell = grid.first + k;
    for (std::size_t axis = 0; axis < 2; ++axis) {
      fronts_[at(cell)] = grid_.fronts[at(k)][axis];
      const HalfResistances r = half_resistances(cell);
      grid_.resistivity[at(k)][2 * axis] = 2 * r.inner;
      grid_.resistivity[at(k)][2 * axis + 1] = 2 * r.outer;
      grid_.by_enthalpy[at(k)][2 * axis] = 2 * r.inner_slope * fraction_slope_[at(cell)];
      grid_.by_enthalpy[at(k)][2 * axis + 1] = 2 * r.outer_slope * fraction_slope_[at(cell)];
    }
  });
}

void HeatBalance::add_grid_faces(const State& state, Rates& rates) {
  const auto& grid = network_.grid;
  const int faces = static_cast<int>(grid.faces.size());
  double* notes = nullptr;
  const bool moving = couplings_ != nullptr && !held_;
  if (couplings_ != nullptr) {
    const std::size_t before = couplings_->size();
    couplings_->resize(before + at(faces));
    notes = couplings_->data() + before;
  }
  for_all(faces, [&](int f) {
    const auto& face = grid.faces[at(f)];
    const double low = face.low >= 0 ? temperature_[at(face.low)] : state.surface[face.hub];
    const double high = face.high >= 0 ? temperature_[at(face.high)] : state.surface[face.hub];
    const double constant = grid_.conductance[at(f)];
    const double g = constant > 0 ? constant : 1 / face_resistance(face);
    const double flow = g * (low - high);
    grid_.flow[at(f)] = flow;
    if (face.low < 0) rates.surfaces[face.hub] -= flow;
    if (face.high < 0) rates.surfaces[face.hub] += flow;
    if (notes != nullptr) notes[f] = g;
    if (!moving || constant > 0) return;
    const auto side = at(2 * face.axis);
    if (face.low >= 0) {
      grid_.by_low[at(f)] =
          -g * flow * face.low_shape * grid_.by_enthalpy[at(face.low - grid.first)][side + 1];
    }
    if (face.high >= 0) {
      grid_.by_high[at(f)] =
          -g * flow * face.high_shape * grid_.by_enthalpy[at(face.high - grid.first)][side];
    }
  });
  // Each cell gathers from its faces, always in the same order.
  for_all(grid.count, [&](int k) {
    double rate = 0;
    double own = 0;
    const bool moves = moving && grid_.constant[at(k)] == 0;
    for (std::size_t side = 0; side < 4; ++side) {
      const int f = grid_.face[at(k)][side];
      if (f < 0) continue;
      const bool is_high = side % 2 == 0;  // the face's higher cell has it on its low side
      rate += is_high ? grid_.flow[at(f)] : -grid_.flow[at(f)];
      if (moves) own += is_high ? grid_.by_high[at(f)] : -grid_.by_low[at(f)];
    }
    rates.cells[grid.first + k] += rate;
    if (notes != nullptr) grid_.own_slope[at(k)] = own;
  });
}

std::vector<std::pair<int, int>> HeatBalance::coupled_pairs() const {
  const auto unknown = [this](int hub) {
    const int cell = network_.hubs[at(hub)].cell;
    return cell < 0 ? cells() + hub : cell;
  };
  std::vector<std::pair<int, int>> pairs;
  for (const auto& column : network_.columns) {
    const int last = column.first + column.count - 1;
    for (int i = column.first; i < last; ++i) pairs.emplace_back(i, i + 1);
    if (column.inner_hub >= 0) pairs.emplace_back(column.first, unknown(column.inner_hub));
    if (column.outer_hub >= 0) pairs.emplace_back(last, unknown(column.outer_hub));
  }
  for (const auto& face : network_.grid.faces) {
    const int low = face.low >= 0 ? face.low : unknown(face.hub);
    const int high = face.high >= 0 ? face.high : unknown(face.hub);
    pairs.emplace_back(low, high);
  }
  for (const auto& link : network_.links) {
    pairs.emplace_back(unknown(link.a), link.outside == mesh::Outside::none ? unknown(link.b) : -1);
  }
  for (const auto& source : network_.sources) {
    pairs.emplace_back(source.hub < 0 ? source.cell : unknown(source.hub), -1);
  }
  return pairs;
}

void HeatBalance::evaluate(const State& state, const Conditions& conditions, Rates& rates,
                           std::vector<double>& couplings) {
  couplings.clear();
  couplings_ = &couplings;
  evaluate(state, conditions, rates, nullptr, 0);
  couplings_ = nullptr;
}

void HeatBalance::place_grid_fronts(const State& state) {
  constexpr int far = 1 << 20;
  const auto& grid = network_.grid;
  bool melts = false;
  for (int i = grid.first; i < grid.first + grid.count; ++i) {
    if (!curve(i).is_sharp()) continue;
    melts = true;
    const ThermalState s = thermal_state(state, i);
    temperature_[at(i)] = s.temperature;
    fraction_[at(i)] = s.liquid_fraction;
  }
  if (!melts) return;
  const auto is_liquid = [&](int i) { return fraction_[at(i)] > 0.5; };
  const auto reach = [&](int k, std::size_t side) {
    const int i = grid.first + k;
    const auto& next = grid_.neighbours[at(k)][side];
    if (next.cell < 0) {
      const bool differs =
          next.hub >= 0 && (state.surface[next.hub] > temperature_[at(i)]) != is_liquid(i);
      return differs ? 1 : far;
    }
    if (!curve(next.cell).is_sharp()) return far;
    if (is_liquid(next.cell) != is_liquid(i)) return 1;
    return std::min(grid_.reach[at(next.cell - grid.first)][side] + 1, far);
  };
  for (int k = 0; k < grid.count; ++k) {
    if (!curve(grid.first + k).is_sharp()) continue;
    for (const std::size_t side : {0U, 2U}) grid_.reach[at(k)][side] = reach(k, side);
  }
  for (int k = grid.count - 1; k >= 0; --k) {
    if (!curve(grid.first + k).is_sharp()) continue;
    for (const std::size_t side : {1U, 3U}) grid_.reach[at(k)][side] = reach(k, side);
  }
  for (int k = 0; k < grid.count; ++k) {
    const int i = grid.first + k;
    if (!curve(i).is_sharp()) continue;
    for (std::size_t axis = 0; axis < 2; ++axis) {
      grid_.fronts[at(k)][axis] =
          front_place(grid_.fronts[at(k)][axis], grid_.reach[at(k)][2 * axis],
                      grid_.reach[at(k)][2 * axis + 1], fraction_[at(i)], far);
    }
  }
  for (int k = 0; k < grid.count; ++k) {
    const int i = grid.first + k;
    if (!curve(i).is_sharp()) continue;
    FrontSides sides;
    for (std::size_t axis = 0; axis < 2; ++axis) {
      const FrontPlace place = grid_.fronts[at(k)][axis];
      if (place != FrontPlace::liquid_inward && place != FrontPlace::liquid_outward) continue;
      const auto side = [&](std::size_t which) -> FrontNeighbour {
        const auto& next = grid_.neighbours[at(k)][2 * axis + which];
        if (next.cell < 0) return {-1, next.hub};
        const bool same = network_.cells[at(next.cell)].material == network_.cells[at(i)].material;
        return same ? FrontNeighbour{next.cell, -1} : FrontNeighbour{};
      };
      const bool inward = place == FrontPlace::liquid_inward;
      const FrontSides along =
          front_sides(i, side(inward ? 0 : 1), side(inward ? 1 : 0), static_cast<int>(axis), state);
      sides.superheat = std::max(sides.superheat, along.superheat);
      sides.subcooling = std::max(sides.subcooling, along.subcooling);
    }
    mixed_[at(i)] = {curve(i), sides};
    if (fraction_[at(i)] <= 0 || fraction_[at(i)] >= 1) began_[at(i)] = mixed_[at(i)].sides();
  }
}

}  // namespace thawline::solver
