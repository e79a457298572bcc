#pragma once

#include <array>
#include <vector>

#include "mesh/network.hpp"

namespace thawline::solver {

/// Number of a hub among the unknowns, which are the cells, then the hubs: that of its lumped cell,
/// or its own where it is a surface.
[[nodiscard]] inline int unknown_of_hub(const mesh::Network& network, int hub) {
  const int cell = network.hubs[static_cast<std::size_t>(hub)].cell;
  return cell < 0 ? static_cast<int>(network.cells.size()) + hub : cell;
}

/// What lies beside a cell that is not lumped. Sides: low and high along a column or x, low and
/// high z.
struct Neighbours {
  std::array<int, 4> unknown{-1, -1, -1, -1};  ///< a cell or a surface; −1: nothing
  std::array<int, 4> face{-1, -1, -1, -1};     ///< index into Network::faces
  /// Length of the cell along either axis in a measure common to its line of cells: m in a grid,
  /// ∫ dy/A in a column.
  std::array<double, 2> extent{0, 0};
};

/// By cell, of all that are not lumped.
[[nodiscard]] std::vector<Neighbours> neighbours_of(const mesh::Network& network);

}  // namespace thawline::solver
