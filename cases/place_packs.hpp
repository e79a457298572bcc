#pragma once

#include <vector>

#include "cases/case.hpp"

namespace thawline::cases {

/// A pack as a rectangle of the section, m; x is the distance from the middle (or the axis)
/// outward.
struct PackPlace {
  int coolant = -1;
  double x0 = 0, x1 = 0, z0 = 0, z1 = 0;
};

/// Where the packs that lie on a wall are in a section: those on the floor and under the lid lie
/// concentric in the order of the case, those at the sides are one band on all walls and stand on
/// what lies there already. Packs
/// that are one body (see pack_bodies) have one place, that of the first. Throws InputError where
/// packs do not fit beside each other.
[[nodiscard]] std::vector<PackPlace> place_packs(const Case& c);

}  // namespace thawline::cases
