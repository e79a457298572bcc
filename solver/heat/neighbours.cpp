#include "solver/heat/neighbours.hpp"

#include "solver/at.hpp"

namespace thawline::solver {

std::vector<Neighbours> neighbours_of(const mesh::Network& network) {
  std::vector<Neighbours> all(at(mesh::spread_cells(network)));
  for (std::size_t f = 0; f < network.faces.size(); ++f) {
    const auto& face = network.faces[f];
    const int beyond = face.hub < 0 ? -1 : unknown_of_hub(network, face.hub);
    const auto side = at(2 * face.axis);
    if (face.low >= 0) {
      all[at(face.low)].unknown[side + 1] = face.high < 0 ? beyond : face.high;
      all[at(face.low)].face[side + 1] = static_cast<int>(f);
    }
    if (face.high >= 0) {
      all[at(face.high)].unknown[side] = face.low < 0 ? beyond : face.low;
      all[at(face.high)].face[side] = static_cast<int>(f);
    }
  }
  for (int i = 0; i < network.chain_cells; ++i) {
    const auto& cell = network.cells[at(i)];
    all[at(i)].extent[0] = cell.inner_shape + cell.outer_shape;
  }
  const auto& grid = network.grid;
  if (grid.count == 0) return all;
  const std::size_t columns = grid.x.size() - 1;
  for (std::size_t place = 0; place < grid.cell.size(); ++place) {
    if (grid.cell[place] < 0) continue;
    const std::size_t i = place % columns;
    const std::size_t k = place / columns;
    all[at(grid.cell[place])].extent = {grid.x[i + 1] - grid.x[i], grid.z[k + 1] - grid.z[k]};
  }
  return all;
}

}  // namespace thawline::solver
