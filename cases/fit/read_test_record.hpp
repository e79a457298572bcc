#pragma once

#include "cases/fit/trial.hpp"
#include "cases/plan_places.hpp"

namespace thawline::cases {

/// Reads one entry of `records`: what differs from the case, which channel is which probe, when
/// packing was done, what is left out. Times are seconds since packing. Throws InputError.
[[nodiscard]] TestRecord read_test_record(const Entry& entry, PlanPlaces& places);

}  // namespace thawline::cases
