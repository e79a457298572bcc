#pragma once

#include <array>
#include <utility>
#include <vector>

#include "solver/heat/front.hpp"

namespace thawline::solver {

/// Where the heat balance keeps what it knows of the cells of a section; indices count from the
/// grid's first cell. Sides of a cell: low x, high x, low z, high z.
struct GridHeat {
  struct Neighbour {
    int cell = -1;  ///< of the network
    int hub = -1;   ///< a surface, where there is no cell
  };
  using Sides = std::array<double, 4>;

  std::vector<std::array<Neighbour, 4>> neighbours;
  std::vector<std::array<double, 2>> width;  ///< m, along x and z
  std::vector<Sides> resistivity;  ///< m K/W: half shape times this is the half cell's resistance
  std::vector<Sides> by_enthalpy;  ///< its derivative by the cell's enthalpy
  std::vector<char> constant;      ///< 1 where it never changes
  std::vector<std::array<FrontPlace, 2>> fronts;  ///< along x and z
  std::vector<std::array<int, 4>> reach;          ///< cells to the other phase, by side
  std::vector<std::array<int, 4>> face;           ///< index of the face on each side, −1
  std::vector<double> conductance;                ///< W/K by face where it never changes, else 0
  std::vector<double> flow;                       ///< W from low to high, by face
  std::vector<double> by_low, by_high;  ///< its derivative by the resistances of either cell
  std::vector<double> own_slope;        ///< ∂(rate)/∂H through the cell's own resistances, 1/s
};

}  // namespace thawline::solver
