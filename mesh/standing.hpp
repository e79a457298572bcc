#pragma once

#include <limits>
#include <vector>

#include "cases/case.hpp"

namespace thawline::mesh {

/// The footprint of contents as upright columns: cans side by side and, where the floor is full,
/// above each other; a block as it lies.
struct Footprint {
  double area = 0;    ///< m2
  double height = 0;  ///< m, of what stands on it
};

/// Of a payload alone in a box of that floor (m2) and height (m).
[[nodiscard]] Footprint footprint_of(const cases::Payload& payload, double floor_area,
                                     double height);

/// Of all payloads of a case, by payload: contents that together do not find room side by side
/// stand above each other in part.
[[nodiscard]] std::vector<Footprint> footprints_of(const cases::Case& c);

/// Contents that stand on a pack on the floor, or on the bare base.
struct Standing {
  int payload = -1;        ///< index into Case::payloads
  int pack = -1;           ///< index into Case::coolants; −1: the base
  double area = 0;         ///< m2
  double coefficient = 0;  ///< W/m2/K
};

/// Where every payload stands, by its `stands_on`: on one pack, on the base, or on what is below
/// it, that is on the packs on the floor as far as they reach and on the base beside them. Nothing
/// for contents that are held free or stand in or on loose pieces.
[[nodiscard]] std::vector<Standing> standings_of(const cases::Case& c);

/// m2 of a payload (index into Case::payloads) that rests on loose pieces below it: its footprint,
/// or the area its contact names. 0 where no loose coolant is on the floor, and for what stands in
/// it, on something else or is held free.
[[nodiscard]] double area_on_bed(const cases::Case& c, std::size_t payload);

/// A Standing once its payload has a surface.
struct StandingHub {
  Standing on;
  int item = -1;  ///< of the payload
  int hub = -1;   ///< outer surface of the payload
  /// m, where it stands in a section: from the middle outward.
  double x0 = 0, x1 = std::numeric_limits<double>::infinity();
};

}  // namespace thawline::mesh
