#pragma once

#include <cstddef>
#include <optional>

#include "cases/record/record.hpp"

namespace thawline::cases {

/// What the readings of a channel tell of the logger.
struct ChannelCharacter {
  double least = 0, most = 0;  ///< SI, as Channel::value
  double first = 0, last = 0;  ///< s since the first row, of the first and last reading

  double interval = 0;    ///< s, median between readings
  bool regular = true;    ///< nine of ten intervals within 5 % of the median
  double gap_beyond = 0;  ///< s; longer intervals are gaps: 1.5 medians, 5 where irregular
  std::size_t gaps = 0;
  double longest_gap = 0;     ///< s; 0 without gaps
  double longest_gap_at = 0;  ///< s since the first row, its beginning

  /// Step of the values in the file's unit: the usual distance of neighbouring values that occur.
  /// Empty when fewer than three do, or when no step stands out.
  std::optional<double> resolution;

  /// Standard deviation from reading to reading in steps of the file's unit: the median absolute
  /// distance of each reading from the straight line through its neighbours, made that of a normal
  /// noise. Empty with fewer than `least_for_noise` readings.
  std::optional<double> noise;
  bool noise_hidden = false;  ///< smaller than the resolution lets see; `noise` is then empty
};

inline constexpr std::size_t least_for_noise = 12;

/// The noise takes a curve for straight over three readings and knows nothing of slow drifts: it is
/// the part that is new with each reading. Distances from the line by T. Gasser, L. Sroka, C.
/// Jennen-Steinmetz, Biometrika 73 (1986) 625-633; the median in the place of their mean square
/// (F. R. Hampel, J. Am. Stat. Assoc. 69 (1974) 383-393) so that lid openings do not count.
/// Throws nothing; a channel without readings gives zeros.
[[nodiscard]] ChannelCharacter character_of(const Record& record, const Channel& channel);

}  // namespace thawline::cases
