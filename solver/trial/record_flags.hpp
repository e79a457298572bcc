#pragma once

#include <vector>

#include "cases/fit/read_trial.hpp"
#include "solver/fit/estimate.hpp"
#include "solver/trial/fit_problem.hpp"
#include "solver/trial/fit_trial.hpp"

namespace thawline::solver::trial {

/// What stands out in the records over their fitted curves: leaps as of an opened lid or a probe
/// that moved, channels that stand still while the model moves, clocks that seem to be late.
/// Nothing is mended.
[[nodiscard]] std::vector<Flag> record_flags(const cases::ReadTrial& read,
                                             const std::vector<RecordOverlay>& overlays,
                                             const FitProblem& problem,
                                             const fit::Estimated& estimated);

}  // namespace thawline::solver::trial
