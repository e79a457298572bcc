#include "solver/linear/column_system.hpp"

#include <algorithm>

#include "solver/at.hpp"

namespace thawline::solver {

namespace {

BorderedSystem matrix_of(const mesh::Network& network) {
  std::vector<Block> blocks;
  for (const auto& column : network.columns) {
    blocks.push_back({column.first, column.count, column.inner_hub, column.outer_hub});
  }
  std::vector<HubPair> touching;
  for (const auto& link : network.links) {
    const int body = link.cover < 0 ? -1 : network.covers[at(link.cover)].hub;
    if (body >= 0) touching.emplace_back(link.a, body);
    if (link.b < 0) continue;
    touching.emplace_back(link.a, link.b);
    if (body >= 0) touching.emplace_back(link.b, body);
  }
  return {blocks, network.chain_cells, static_cast<int>(network.hubs.size()), touching};
}

}  // namespace

ColumnSystem::ColumnSystem(const HeatBalance& balance)
    : cells_(balance.cells()),
      matrix_(matrix_of(balance.network())),
      hubs_(balance.hubs()),
      surface_(balance.hubs()) {
  matrix_.set_zero();
  const auto& network = balance.network();
  for (int h = 0; h < balance.hubs(); ++h) unknown_.push_back(unknown_of_hub(network, h));
  std::vector<int> column_of(network.cells.size(), -1);
  for (std::size_t k = 0; k < network.columns.size(); ++k) {
    const auto& column = network.columns[k];
    for (int i = 0; i < column.count; ++i) column_of[at(column.first + i)] = static_cast<int>(k);
  }
  for (std::size_t f = 0; f < network.faces.size(); ++f) {
    const auto& face = network.faces[f];
    faces_.push_back({balance.faces().a(f), balance.faces().b(f), face.hub,
                      column_of[at(std::max(face.low, face.high))], face.low < 0});
  }
}

void ColumnSystem::add_faces(const HeatBalance& balance, double scale) {
  const FaceFlows& flows = balance.faces();
  const double* slope = balance.cell_states().slope.data();
  for (std::size_t f = 0; f < faces_.size(); ++f) {
    const Entries& face = faces_[f];
    const double g = flows.conductance[f];
    const auto a = at(face.a);
    const auto b = at(face.b);
    const double by_a = g * slope[a] + flows.by_a[f];
    const double by_b = -g * slope[b] + flows.by_b[f];
    if (face.hub < 0) {
      matrix_.diagonal[a] += scale * by_a;
      matrix_.diagonal[b] -= scale * by_b;
      matrix_.upper[a] = scale * by_b;
      matrix_.lower[b] = -scale * by_a;
      continue;
    }
    const auto block = at(face.block);
    matrix_.hubs(face.hub, face.hub) += g;
    if (face.inner) {
      matrix_.diagonal[b] -= scale * by_b;
      matrix_.inner_b[block] = -scale * g;
      matrix_.inner_c[block] = by_b;
    } else {
      matrix_.diagonal[a] += scale * by_a;
      matrix_.outer_b[block] = -scale * g;
      matrix_.outer_c[block] = -by_a;
    }
  }
}

void ColumnSystem::add_links(const HeatBalance& balance, double scale) {
  const LinkFlows& flows = balance.links();
  const auto& network = balance.network();
  const std::vector<double>& slope = balance.cell_states().slope;
  for (std::size_t k = 0; k < network.links.size(); ++k) {
    if (!flows.in_force(k)) continue;
    const auto& link = network.links[k];
    const bool inside = flows.b(k) >= 0;
    const auto derivative = [&](int column, double by) {
      matrix_.hubs(link.a, column) += row_scale(link.a, scale) * by;
      if (inside) matrix_.hubs(link.b, column) -= row_scale(link.b, scale) * by;
    };
    derivative(link.a, flows.heat[k].by_a * slope[at(flows.a(k))]);
    if (inside) derivative(link.b, flows.heat[k].by_b * slope[at(flows.b(k))]);
    if (link.cover >= 0) derivative(network.covers[at(link.cover)].hub, flows.by_cover[k]);
  }
}

void ColumnSystem::add_sources(const HeatBalance& balance, double scale) {
  const LinkFlows& flows = balance.links();
  const auto& sources = balance.network().sources;
  for (std::size_t k = 0; k < sources.size(); ++k) {
    const auto heated = at(flows.heated(k));
    const double by = flows.source[k].by_temperature * balance.cell_states().slope[heated];
    const int hub = sources[k].hub;
    if (hub < 0) {
      matrix_.diagonal[heated] -= scale * by;
    } else {
      matrix_.hubs(hub, hub) -= row_scale(hub, scale) * by;
    }
  }
}

void ColumnSystem::assemble(const HeatBalance& balance, double scale) {
  // Each entry beside the diagonal of a block belongs to one face.
  matrix_.hubs.setZero();
  std::fill(matrix_.diagonal.begin(), matrix_.diagonal.end(), 1.0);
  for (int hub = 0; hub < balance.hubs(); ++hub) {
    if (unknown_[at(hub)] < cells_) matrix_.hubs(hub, hub) = 1;
  }
  add_faces(balance, scale);
  add_links(balance, scale);
  add_sources(balance, scale);
  for (int hub = 0; hub < balance.hubs(); ++hub) {
    if (matrix_.hubs(hub, hub) == 0) matrix_.hubs(hub, hub) = 1;
  }
  surface_ = matrix_.hubs.diagonal();
  factored_ = false;
}

bool ColumnSystem::solve(Eigen::VectorXd& unknowns, double /*tolerance*/) {
  if (!factored_) matrix_.factor();
  factored_ = true;
  for (std::size_t h = 0; h < unknown_.size(); ++h) {
    hubs_[static_cast<Eigen::Index>(h)] = unknowns[unknown_[h]];
  }
  matrix_.solve(unknowns, hubs_);
  for (std::size_t h = 0; h < unknown_.size(); ++h) {
    unknowns[unknown_[h]] = hubs_[static_cast<Eigen::Index>(h)];
  }
  return true;
}

}  // namespace thawline::solver
