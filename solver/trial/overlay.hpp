#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/fit/read_trial.hpp"
#include "solver/results/run_case.hpp"
#include "solver/trial/measured_hold.hpp"

namespace thawline::solver::trial {

/// One channel over the curve of its probe. Differences are measured less computed, K, over the
/// readings that are used.
struct ChannelOverlay {
  std::vector<double> computed;  ///< K at every reading; NaN outside the run
  std::size_t used = 0;
  double mean = 0, rms = 0, largest = 0;
  double largest_at = 0;  ///< s since packing
};

/// A limit as computed and as measured.
struct HoldPair {
  LimitResult computed;
  std::optional<MeasuredHold> measured;
};

/// One record over its computed run.
struct RecordOverlay {
  std::vector<ChannelOverlay> channels;  ///< as in the record; of the room without `computed`
  std::vector<HoldPair> holds;
  double duration = 0;  ///< s of the run
  std::vector<std::string> notices;
};

/// Runs every record's case with `settings` put in (one list a record; none: as the trial stands)
/// and lays its readings over the curves. Throws cases::InputError, and std::runtime_error when a
/// run cannot be solved.
[[nodiscard]] std::vector<RecordOverlay> overlay(
    const cases::ReadTrial& read, const std::vector<std::vector<cases::Setting>>& settings = {},
    const std::vector<double>& late = {});

}  // namespace thawline::solver::trial
