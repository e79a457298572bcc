#pragma once

#include "cases/plan_places.hpp"

namespace thawline::cases {

/// Reads what is not exactly known, the map under `tolerances`. `plan.vary` must have been read.
/// Throws InputError.
void read_tolerances(const Entry& entry, PlanPlaces& places, Plan& plan);

}  // namespace thawline::cases
