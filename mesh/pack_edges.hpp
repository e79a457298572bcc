#pragma once

#include "cases/case.hpp"
#include "mesh/network.hpp"

namespace thawline::mesh {

/// The narrow faces a pack shows the air, besides its broad ones.
struct FreeEdge {
  double area = 0;  ///< m2
  double length =
      0;  ///< m, for convection: height of an upright face, half the width of a level one
};

/// Packs on the floor and under the lid lie from the middle outward over the whole width, in the
/// order of the case (as in a section), and show their ends as far as the next pack or the wall
/// leaves them free; packs at the sides stand as one band along the walls and show its top; a free
/// pack is square. Sheets around the payload show none.
[[nodiscard]] FreeEdge free_edge(const cases::Case& c, const cases::Coolant& pack);

/// Characteristic length (m) for convection on a narrow face of a pack that is free all over.
[[nodiscard]] double edge_length(const cases::Coolant& pack, Facing facing);

}  // namespace thawline::mesh
