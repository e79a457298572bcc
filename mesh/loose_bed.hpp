#pragma once

#include <vector>

#include "cases/case.hpp"
#include "mesh/network.hpp"

namespace thawline::mesh {

/// Loose pieces on the floor of a box and the water they have melted to, by volumes. A liquid
/// fraction of 0 is all pieces, 1 all water.
///
/// Pieces lie `cases::loose_packing` full; water that is kept fills the voids between them from
/// below and, once there is more than that, stands higher while the pieces float in it. What stands
/// in the bed pushes the level up.
struct LooseBed {
  /// Footprint (m2) and height (m) of contents that stand on the floor.
  struct Standing {
    double footprint = 0, height = 0;
  };
  double floor_area = 0, height = 0;  ///< of the inside, m2 and m
  double solid_volume = 0;            ///< of all of it as pieces, without voids, m3
  double liquid_volume = 0;           ///< of all of it as water, m3
  bool drained = false;               ///< water leaves the box
  std::vector<Standing> standing;
  double stood_on = 0;  ///< of its top, by contents that rest on it, m2
};

[[nodiscard]] LooseBed loose_bed(const cases::Case& c, const cases::Coolant& coolant);

/// How high (m) pieces or water reach; no more than the inside.
[[nodiscard]] double level_of(const LooseBed& bed, double liquid_fraction);

/// Share of the floor that pieces or water lie on: all of it down to the depth of one piece
/// (`one_piece`), below that as pieces that keep their shape, (mass left)^(2/3), and as their water
/// covers it, a millimetre deep.
[[nodiscard]] double floor_share(const LooseBed& bed, double liquid_fraction);

/// Depth of one layer of pieces, m: common practice, no source.
inline constexpr double one_piece = 0.02;
/// Depth at which water covers a floor, m: an assumption.
inline constexpr double film_of_water = 0.001;

/// Share of the floor above which no contents reach through the level or rest on the pieces.
[[nodiscard]] double free_floor(const LooseBed& bed, double liquid_fraction);

/// Share of a face between two heights (m) that is below the level.
[[nodiscard]] double share_below(const LooseBed& bed, double liquid_fraction, double bottom,
                                 double top);

/// How well pieces touch, as a share of `wet` (W/m2/K): dry until water wets them, which is done
/// when a fiftieth has melted.
[[nodiscard]] double wetness(double liquid_fraction, double wet);

/// Contact of dry pieces, W/m2/K: 20 to 30, common practice, no source.
inline constexpr double dry_contact = 25;

}  // namespace thawline::mesh
