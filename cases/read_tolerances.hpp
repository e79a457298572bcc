#pragma once

#include "cases/fit/fitted_values.hpp"
#include "cases/plan_places.hpp"

namespace thawline::cases {

/// Reads what is not exactly known, the map under `tolerances`. `plan.vary` must have been read;
/// `fitted` reads what a fit wrote. Throws InputError.
void read_tolerances(const Entry& entry, const FittedReader& fitted, PlanPlaces& places,
                     Plan& plan);

}  // namespace thawline::cases
