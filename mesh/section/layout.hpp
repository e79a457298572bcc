#pragma once

#include <vector>

#include "cases/case.hpp"
#include "cases/place_packs.hpp"
#include "mesh/breadth.hpp"

namespace thawline::mesh::section {

using cases::PackPlace;

/// What a section shows: the box by the distance from its nearest side wall (x counts from the
/// middle line, where that is largest) and by height. Packs on the floor and under the lid lie
/// concentric in the order of the case, those at the sides are one band on all walls.
struct Layout {
  bool round = false;
  Breadth breadth;
  double half_width = 0;  ///< m, inside, from the middle line or axis to the side wall
  double height = 0;      ///< m, inside
  std::vector<PackPlace> packs;
};

/// Where everything lies. Throws cases::InputError where packs do not fit beside each other.
[[nodiscard]] Layout layout_of(const cases::Case& c);

/// A layer of one of the walls that meet at a corner.
struct WallPlace {
  cases::Place wall = cases::Place::sides;
  int layer = 0;
  double relative_depth = 0;  ///< 0 at the inner face, 1 at the outer
};

/// The layer at a place outside the inside: `beside` m beyond the side wall's inner face, `beyond`
/// m beyond the inner face of the base or lid (either may be ≤ 0). Walls of as many layers meet
/// layer by layer, each running round the corner; others meet in a mitre, at equal shares of their
/// thicknesses.
[[nodiscard]] WallPlace wall_at(const cases::Wall& side, const cases::Wall& level,
                                cases::Place level_place, double beside, double beyond);

}  // namespace thawline::mesh::section
