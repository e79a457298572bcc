#pragma once

#include "cases/fit/trial.hpp"
#include "cases/read_plan.hpp"

namespace thawline::cases {

/// Puts one detail for all cases of a plan into it, as details differ by more than what a plan
/// varies (see choose_detail): combinations, contenders and both ends of what is sought are looked
/// at, of very many cases a few thousand spread evenly. Does nothing where the base case names its
/// detail or the plan varies it. Reads the base anew with it.
void settle_plan_detail(ReadPlan& read);

/// The same for the cases of a trial: every record's, with each free value at both its bounds.
void settle_trial_detail(const Trial& trial, ReadPlan& shared);

}  // namespace thawline::cases
