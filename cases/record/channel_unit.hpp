#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace thawline::cases {

enum class Measured : char { temperature, humidity, time, clock, other, unnamed };

/// A unit of a column and the way to SI: K for temperatures, a fraction for relative humidity, s
/// for time. Others stay as they are.
struct ChannelUnit {
  Measured measured = Measured::unnamed;
  std::string written;  ///< as in the file
  double zero = 0;      ///< SI of 0 and 1 in this unit
  double one = 1;
  [[nodiscard]] double si(double value) const { return zero + value * (one - zero); }
  /// As written in the file's unit, from SI.
  [[nodiscard]] double as_written(double in_si) const { return (in_si - zero) / (one - zero); }
};

/// Where a unit stands: by itself in square brackets or a row of units, where UDUNITS-2 may know
/// it; or free in a text, where only the usual spellings of loggers count.
enum class UnitPlace : char { alone, free };

/// `°C`, `degC`, `C`, `°F`, `K`, `%RH`, `s`, `min`, `h`, `hh:mm:ss` and their like.
[[nodiscard]] std::optional<ChannelUnit> known_unit(std::string_view text, UnitPlace place);

/// True for a name that begins like "time" or "date" in a few languages.
[[nodiscard]] bool names_time(std::string_view name);

/// A header cell taken apart.
struct HeaderWords {
  std::string name;  ///< without the unit
  std::optional<ChannelUnit> unit;
  std::string strange;  ///< what stands in square brackets and is no known unit
};

/// The unit is the last known one in brackets, else behind a comma, or the last word. A lone C, F
/// or K as the last word may as well name a probe: it counts as a unit only after "temperature" or
/// "temp" and when `letters_are_names` is false.
[[nodiscard]] HeaderWords header_words(const std::string& text, bool letters_are_names);

}  // namespace thawline::cases
