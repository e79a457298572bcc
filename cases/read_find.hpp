#pragma once

#include "cases/plan_places.hpp"

namespace thawline::cases {

/// Longest hold time that can be sought, s.
inline constexpr double longest_hold = 290 * 86400.0;

/// Reads what is sought, the map under `find`. `base` is the base case as it stands. Throws
/// InputError.
void read_find(const Entry& entry, const Case& base, PlanPlaces& places, Plan& plan);

}  // namespace thawline::cases
