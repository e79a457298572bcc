#pragma once

#include <array>
#include <vector>

#include "mesh/network_builder.hpp"

namespace thawline::mesh::section {

/// What a grid cell is made of. Cells of one `body` touch without a surface between them.
struct Fill {
  int body = -1;  ///< −1: nothing there
  int material = -1;
  int part = 0;
  int item = -1;
  Start start;
};

/// A grid before it becomes cells.
struct GridPlan {
  bool round = false;
  Breadth breadth;
  std::vector<double> x, z;  ///< lines, rising
  std::vector<Fill> fill;    ///< by k (lines of x − 1) + i
  /// Which borders of the grid meet the outside: low x, high x, low z, high z. The others are
  /// planes (or the axis) of symmetry.
  std::array<bool, 4> open{false, true, true, true};

  [[nodiscard]] int columns() const { return static_cast<int>(x.size()) - 1; }
  [[nodiscard]] int rows() const { return static_cast<int>(z.size()) - 1; }
  [[nodiscard]] const Fill& at(int i, int k) const {
    return fill[static_cast<std::size_t>(k) * static_cast<std::size_t>(columns()) +
                static_cast<std::size_t>(i)];
  }
};

inline constexpr int nothing = -1;  ///< body of the air space
inline constexpr int outside = -2;  ///< body beyond the border of the grid

/// The face of a grid cell towards another body, with a surface hub of its own.
struct GridSurface {
  int hub = -1;
  int cell = -1;
  int axis = 0;      ///< 0: normal to x or r, 1: normal to z
  bool low = false;  ///< on the cell's side of lower x or z
  double area = 0;   ///< m2
  double x = 0, z = 0;
  int body = 0;       ///< its own
  int beyond = 0;     ///< the body on the other side
  int opposite = -1;  ///< index of the surface facing it, where that body has cells
};

/// Adds the cells and faces of a plan behind the columns of the network, and a surface hub on every
/// face towards another body. Call after the last column.
[[nodiscard]] std::vector<GridSurface> add_grid(const GridPlan& plan, Network& network,
                                                NetworkBuilder& build);

}  // namespace thawline::mesh::section
