#pragma once

#include "cases/case.hpp"
#include "mesh/network.hpp"

namespace thawline::mesh {

/// Area (m2) of the narrow faces a pack shows the air, besides its broad ones. Packs on the floor
/// and under the lid lie from the middle outward over the whole width, in the order of the case
/// (as in a section), and show their ends as far as the next pack or the wall leaves them free;
/// packs at the sides stand as one band along the walls and show its top; a free pack is square.
/// Sheets around the payload show none.
[[nodiscard]] double free_edge_area(const cases::Case& c, const cases::Coolant& pack);

/// Characteristic length (m) for convection on a narrow face of a pack: its height where it is
/// upright, area over perimeter of a long strip where it is level.
[[nodiscard]] double edge_length(const cases::Coolant& pack, Facing facing);

}  // namespace thawline::mesh
