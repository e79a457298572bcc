#pragma once

#include <vector>

namespace thawline::solver::fit {

/// A leap between two neighbouring values.
struct Jump {
  std::size_t at = 0;  ///< index of the value after it
  double by = 0;       ///< of the values
  double sizes = 0;    ///< in robust standard deviations of such steps
  bool stays = false;  ///< the values keep most of it for hours; else they come back
};

/// A leap of as many robust standard deviations is none of the logger's noise: the largest innocent
/// one of a study was 8.
inline constexpr double least_jump = 10;

/// Leaps in a series of differences of measurement and model. The robust deviation of a step
/// is 1.4826 medians of its size, not less than `least_step`. Neighbouring leaps count as the
/// largest of them. `time` in s.
[[nodiscard]] std::vector<Jump> jumps_in(const std::vector<double>& time,
                                         const std::vector<double>& value, double least_step);

}  // namespace thawline::solver::fit
