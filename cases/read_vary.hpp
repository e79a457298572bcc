#pragma once

#include "cases/plan_places.hpp"

namespace thawline::cases {

/// Reads what varies, the list under `vary`. Throws InputError.
void read_vary(const Entry& list, PlanPlaces& places, Plan& plan);

}  // namespace thawline::cases
