#pragma once

#include "mesh/network.hpp"
#include "mesh/network_builder.hpp"
#include "mesh/section/air_parcels.hpp"
#include "mesh/wall_joints.hpp"

namespace thawline::mesh::section {

/// Memory of a run, by measurement with the iterative solver.
inline constexpr double section_bytes_per_cell = 1200;

/// Adds walls with their corners and the packs lying on them as a grid, and joins its surfaces to
/// the air, the bath and the surroundings. Where packs lie: see `Layout`; those at the sides stand
/// on what lies on the floor. Where there are parcels each surface touches its own. Throws
/// cases::InputError where packs would overlap or the grid would have more cells than
/// `run.section.most_cells`.
void add_section(const Room& room, const AirParcels* parcels, Network& network,
                 NetworkBuilder& build, const Resolution& resolution);

}  // namespace thawline::mesh::section
