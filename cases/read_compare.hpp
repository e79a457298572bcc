#pragma once

#include "cases/plan_places.hpp"

namespace thawline::cases {

/// Reads coolants to be put on equal terms, the map under `compare`, and works out how much of each
/// that is. `base` is the base case as it stands. Throws InputError.
void read_compare(const Entry& entry, const Case& base, const TakenUp& taken_up, PlanPlaces& places,
                  Plan& plan);

}  // namespace thawline::cases
