#pragma once

#include <string>
#include <vector>

#include "cases/fit/read_trial.hpp"
#include "solver/trial/fit_trial.hpp"
#include "solver/trial/overlay.hpp"

namespace thawline::solver::trial {

inline constexpr int trial_version = 1;

/// Refuses a name that belongs to anything but such a file. Throws history::WriteError.
void check_trial_name(const std::string& file);

/// Writes records, curves and, with a fit, what was learnt (TRIAL.md), whole or not at all. Throws
/// history::WriteError.
void write_trial(const std::string& file, const cases::ReadTrial& read,
                 const std::vector<RecordOverlay>& overlays, const Fitted* fit);

}  // namespace thawline::solver::trial
