#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/fit/trial.hpp"

namespace thawline::solver::trial {

/// A limit judged by a record: the warmest (coldest) of its measured probes against its
/// temperature, by the definition of LimitResult. Times in s since packing; empty where they did
/// not come.
struct MeasuredHold {
  std::string limit;
  std::vector<std::string> not_measured;  ///< probes of the limit without a channel
  std::optional<double> chill_time, end_time, hold_time;
  double chill_deviation = 0, end_deviation = 0;  ///< s, standard deviations
  double known_until = 0;                         ///< last reading
  /// Standard deviation (s) of the hold time.
  [[nodiscard]] double deviation() const;
};

/// The hold time in a record. Readings are first averaged over `smoothing` s (a running straight
/// line), as noise alone would cross a limit too early. Its deviation joins what noise, rounding
/// and the rest of the offset do to the crossing, by the slope there, and the interval of readings.
/// Empty when no probe of the limit was measured.
[[nodiscard]] std::optional<MeasuredHold> measured_hold(const cases::TestRecord& record,
                                                        const cases::Limit& limit);

}  // namespace thawline::solver::trial
