#pragma once

#include <string>
#include <vector>

#include "solver/trial/fit_trial.hpp"

namespace thawline::solver::trial {

/// Marks values whose interval fills most of what their bounds leave, and says in words which
/// combinations the records do not separate.
void mark_what_is_told(Fitted& fitted, bool weighed);

}  // namespace thawline::solver::trial
