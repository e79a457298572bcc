#include "solver/heat/face_flows.hpp"

#include <algorithm>

#include "solver/at.hpp"
#include "solver/heat/laws/closed_gap_law.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

FaceFlows::FaceFlows(const mesh::Network& network, const std::vector<Neighbours>& neighbours,
                     const CellStates& cells)
    : network_(network), phases_(network) {
  const std::size_t faces = network.faces.size();
  const std::size_t no_half = 4 * neighbours.size();
  resistivity_.assign(no_half + 1, 0);
  by_enthalpy_.assign(no_half + 1, 0);
  // One more than there are: a flow of nothing where a cell has no face.
  for (auto* values : {&watt, &conductance, &by_a, &by_b}) values->assign(faces + 1, 0);
  cell_shape_.assign(no_half, 1);
  std::vector<char> changes(neighbours.size());
  for (std::size_t i = 0; i < neighbours.size(); ++i) {
    const int cell = static_cast<int>(i);
    changes[i] = phases_.are_constant(cell, cells) ? 0 : 1;
    if (changes[i] != 0) changing_.push_back(cell);
    if (cell < network.chain_cells) {
      cell_shape_[4 * i] = network.cells[i].inner_shape;
      cell_shape_[4 * i + 1] = network.cells[i].outer_shape;
    }
    const double always = changes[i] != 0 ? 0 : phases_.of(cell, FrontPlace::none, cells).inner;
    faces_of_.emplace_back();
    for (std::size_t side = 0; side < 4; ++side) {
      resistivity_[4 * i + side] = 2 * cell_shape_[4 * i + side] * always;
      const int face = neighbours[i].face[side];
      faces_of_.back()[side] = static_cast<unsigned>(face < 0 ? faces : at(face));
    }
  }
  for (std::size_t f = 0; f < faces; ++f) {
    const auto& face = network.faces[f];
    const auto side = at(2 * face.axis);
    Ends ends{face.low, face.high, no_half, no_half, face.low_shape, face.high_shape, face.gap};
    if (face.low >= 0) ends.half_a = 4 * at(face.low) + side + 1;
    if (face.high >= 0) ends.half_b = 4 * at(face.high) + side;
    if (face.hub >= 0) {
      (face.low < 0 ? ends.a : ends.b) = unknown_of_hub(network, face.hub);
      at_surface_.push_back(f);
    }
    const int cell = std::max(face.low, face.high);
    if (cell < network.chain_cells) ends.shape_a = ends.shape_b = 1;
    const bool low_changes = face.low >= 0 && changes[at(face.low)] != 0;
    const bool high_changes = face.high >= 0 && changes[at(face.high)] != 0;
    constant_.push_back(low_changes || high_changes || face.gap >= 0 ? 0 : 1);
    if (constant_.back() != 0) conductance[f] = 1 / resistance(ends, 0);
    ends_.push_back(ends);
  }
}

void FaceFlows::update_resistances(const CellStates& cells, const Fronts& fronts) {
  for_all(static_cast<int>(changing_.size()), [&](int k) {
    const int i = changing_[at(k)];
    const std::size_t axes = i < network_.chain_cells ? 1 : 2;
    for (std::size_t axis = 0; axis < axes; ++axis) {
      const HalfResistances r = phases_.of(i, fronts.place(i, axis), cells);
      const std::size_t low = 4 * at(i) + 2 * axis;
      // front_resistances speaks of the whole width as 1: half cells weigh 0.5 each.
      const double inner = 2 * cell_shape_[low];
      const double outer = 2 * cell_shape_[low + 1];
      resistivity_[low] = inner * r.inner;
      resistivity_[low + 1] = outer * r.outer;
      by_enthalpy_[low] = inner * r.inner_slope * cells.fraction_slope[at(i)];
      by_enthalpy_[low + 1] = outer * r.outer_slope * cells.fraction_slope[at(i)];
    }
  });
}

void FaceFlows::evaluate(const CellStates& cells, bool held) {
  for_all(static_cast<int>(ends_.size()), [&](int face) {
    const auto f = at(face);
    const Ends& ends = ends_[f];
    const auto a = at(ends.a);
    const auto b = at(ends.b);
    const double difference = cells.temperature[a] - cells.temperature[b];
    if (constant_[f] != 0) {
      watt[f] = conductance[f] * difference;
      return;
    }
    GapResistance gap;
    if (ends.gap >= 0) {
      gap = gap_resistance(network_.gaps[at(ends.gap)],
                           (cells.temperature[a] + cells.temperature[b]) / 2);
    }
    const double g = 1 / resistance(ends, gap.value);
    const double flow = g * difference;
    watt[f] = flow;
    conductance[f] = g;
    const double by_r = -g * flow;
    by_a[f] = held ? 0 : by_r * ends.shape_a * by_enthalpy_[ends.half_a];
    by_b[f] = held ? 0 : by_r * ends.shape_b * by_enthalpy_[ends.half_b];
    if (ends.gap < 0) return;
    by_a[f] += by_r * (gap.by_mean / 2 * cells.slope[a]);
    by_b[f] += by_r * (gap.by_mean / 2 * cells.slope[b]);
  });
}

void FaceFlows::add_to(Rates& rates) const {
  // Each cell gathers from its faces, always in the same order.
  for_all(static_cast<int>(faces_of_.size()), [&](int i) {
    const auto& f = faces_of_[at(i)];
    rates.cells[i] = watt[f[0]] - watt[f[1]] + watt[f[2]] - watt[f[3]];
  });
  const int cells = static_cast<int>(network_.cells.size());
  for (const std::size_t f : at_surface_) {
    const Ends& ends = ends_[f];
    if (ends.a >= cells) rates.surfaces[ends.a - cells] -= watt[f];
    if (ends.b >= cells) rates.surfaces[ends.b - cells] += watt[f];
  }
}

double FaceFlows::own_slope(int cell) const {
  if (at(cell) >= faces_of_.size()) return 0;
  const auto& f = faces_of_[at(cell)];
  return by_b[f[0]] - by_a[f[1]] + by_b[f[2]] - by_a[f[3]];
}

}  // namespace thawline::solver
