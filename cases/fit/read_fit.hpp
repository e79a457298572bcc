#pragma once

#include "cases/fit/trial.hpp"
#include "cases/plan_places.hpp"

namespace thawline::cases {

/// Reads `fit`: what is free, within which bounds, and what is known of it. Throws InputError.
[[nodiscard]] FitWish read_fit(const Entry& entry, PlanPlaces& places);

/// Reads `verdict` on two of the records. Throws InputError.
[[nodiscard]] VerdictWish read_verdict(const Entry& entry, PlanPlaces& places, const Trial& trial);

}  // namespace thawline::cases
