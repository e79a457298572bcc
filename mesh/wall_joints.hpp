#pragma once

#include "mesh/air_space.hpp"
#include "mesh/box_faces.hpp"
#include "mesh/loose_bed.hpp"
#include "mesh/network_builder.hpp"
#include "mesh/standing.hpp"

namespace thawline::mesh {

/// Loose pieces and their water, as one body that faces and contents meet.
struct Bath {
  int hub = -1;
  int item = -1;
  LooseBed bed;
  double coefficient = 0;  ///< W/m2/K, wet

  /// m, when all of it is pieces.
  [[nodiscard]] double highest() const { return hub < 0 ? 0 : level_of(bed, 0); }
  /// m, when all of it is water.
  [[nodiscard]] double lowest() const { return hub < 0 ? 0 : level_of(bed, 1); }
};

/// Covers (indices into Network::covers) of a surface: as far as the bath touches it, wet or dry,
/// and as far as it is bare; `bare` −1 where it never is.
struct BathCovers {
  int touching = -1, bare = -1;
};

/// Of an upright surface between two heights, m.
[[nodiscard]] BathCovers covers_between(NetworkBuilder& build, const Bath& bath, double bottom,
                                        double top);
/// The same of a wall that has one temperature: its bare part, as cold as the ice beside it, would
/// cool the air. So it shows the air nothing before the last of it is bared.
[[nodiscard]] BathCovers covers_of_band(NetworkBuilder& build, const Bath& bath, double bottom,
                                        double top);
[[nodiscard]] BathCovers covers_of_floor(NetworkBuilder& build, const Bath& bath);

/// How much of a surface (m2) contents stand on.
struct StandingShare {
  const StandingHub* standing = nullptr;  ///< borrowed
  double area = 0;
};
using StandingShares = std::vector<StandingShare>;

/// What the surfaces of walls and packs are joined to.
struct Room {
  const cases::Case* the_case = nullptr;  ///< borrowed
  AirSpace air;
  int radiant = -1;  ///< hub
  Bath bath;
  double start = 0;  ///< K, inside
  std::vector<StandingHub> standing;
};

/// Shares of a surface of `area` (m2) for contents that stand on the same place, which is `whole`
/// m2 of pack `pack` (index into Case::coolants; −1: the bare base).
[[nodiscard]] StandingShares standing_on(const Room& room, int pack, double area, double whole);

/// Adds a link whose far end is the air, once for each share of it.
void add_to_air(NetworkBuilder& build, const AirSpace& air, const Link& link);

/// Joins a surface of `area` (m2) to the bath as far as that covers it, and its links to the air
/// around it and to the other surfaces as far as it is bare; these two are then in force as they
/// are only while there is no bath. Needs what `air` needs.
void join_bath(NetworkBuilder& build, const Bath& bath, const AirSpace& around, double area,
               const BathCovers& covers, Link& air, Link& glow);

/// The outer face of a pack that lies on a wall.
struct Lying {
  int item = -1;
  int hub = -1;
  double coefficient = 0;  ///< W/m2/K
};

/// Links of a wall's inner surface: to the air and the other surfaces, to a pack while that is
/// there, to the bath as far as that covers it (`wet` null where it never does), to what stands on
/// it. `area` in m2.
void join_inside(NetworkBuilder& build, const Room& room, const BoxFace& face, int hub, double area,
                 const Lying* pack, const BathCovers* wet, const StandingShares& standing);

/// Links of a wall's outer surface: the lid and the sides to the ambient, the base to what it
/// stands on.
void join_outside(NetworkBuilder& build, const Room& room, cases::Place place, int hub,
                  double area);

/// Links of a pack's surface of `area` (m2) and characteristic `length` (m) to the air and the
/// other surfaces, and to what stands on it.
void join_pack_to_air(NetworkBuilder& build, const Room& room, int item, double emissivity, int hub,
                      double area, double length, Facing facing,
                      const StandingShares& standing = {});

}  // namespace thawline::mesh
