#pragma once

#include "mesh/air_space.hpp"
#include "mesh/box_faces.hpp"
#include "mesh/network_builder.hpp"

namespace thawline::mesh {

/// Loose coolant that the faces of the box meet inside.
struct Bath {
  int hub = -1;
  int item = -1;
  bool drained = false;
  double height = 0;  ///< m of wet wall
  double coefficient = 0;
};

/// Puts a link in force only as far as there is still ice of a drained bath, or beside it.
void under_ice(Link& link, const Bath& bath);
void beside_ice(Link& link, const Bath& bath);

/// What the surfaces of walls and packs are joined to.
struct Room {
  const cases::Case* the_case = nullptr;  ///< borrowed
  AirSpace air;
  int radiant = -1;  ///< hub
  Bath bath;
  double start = 0;  ///< K, inside
};

/// Adds a link whose far end is the air, once for each share of it.
void add_to_air(NetworkBuilder& build, const AirSpace& air, const Link& link);

/// The outer face of a pack that lies on a wall.
struct Lying {
  int item = -1;
  int hub = -1;
  double coefficient = 0;  ///< W/m2/K
};

/// Links of a wall's inner surface: to the air and the other surfaces, to a pack while that is
/// there, to the bath where the wall is wet. `area` in m2.
void join_inside(NetworkBuilder& build, const Room& room, const BoxFace& face, int hub, double area,
                 const Lying* pack, bool wet);

/// Links of a wall's outer surface: the lid and the sides to the ambient, the base to what it
/// stands on.
void join_outside(NetworkBuilder& build, const Room& room, cases::Place place, int hub,
                  double area);

/// Links of a pack's surface of `area` (m2) and characteristic `length` (m) to the air and the
/// other surfaces.
void join_pack_to_air(NetworkBuilder& build, const Room& room, int item, double emissivity, int hub,
                      double area, double length, Facing facing);

}  // namespace thawline::mesh
