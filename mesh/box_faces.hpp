#pragma once

#include <string>
#include <vector>

#include "cases/case.hpp"
#include "mesh/network.hpp"

namespace thawline::mesh {

/// One face group of the box (base, sides, lid) as a column whose area grows outward:
/// A(y) = area + slope y, y from the inside, so that its steady conductance holds the face's share
/// of edges (half of each) and corners (a third of each).
struct BoxFace {
  std::string name;
  cases::Place place = cases::Place::floor;
  const cases::Wall* wall = nullptr;  ///< borrowed from the box
  double area = 0;                    ///< m2, inside
  double slope = 0;                   ///< m
  double length = 0;                  ///< m, for convection inside
  Facing facing_inside = Facing::up;
  double gap_convection = 0;  ///< W/m2/K, closed gaps, heat flowing inward
  /// Steady conductance by part at 10 degC, without the films inside and outside, W/K.
  double plane_conductance = 0, edge_conductance = 0, corner_conductance = 0;
};

/// What a metre of the upright edges adds to the plane side walls, W/m/K.
[[nodiscard]] double upright_edge_conductance(const cases::Box& box);

/// The three face groups; `box` must outlive them.
[[nodiscard]] std::vector<BoxFace> box_faces(const cases::Box& box);

/// Characteristic length area/perimeter of the floor or lid, m.
[[nodiscard]] double horizontal_length(const cases::Box& box);

}  // namespace thawline::mesh
