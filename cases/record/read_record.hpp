#pragma once

#include <cstddef>
#include <string>

#include "cases/record/record.hpp"

namespace thawline::cases {

/// Longest record file read, in bytes.
inline constexpr std::size_t most_record_bytes = 256U << 20U;

enum class HourJumps : char { as_written, taken_out };

/// What a record file cannot tell by itself.
struct RecordChoice {
  DateOrder dates = DateOrder::open;
  /// What to do where the clock jumps by an hour, as at a change of daylight saving.
  HourJumps hour_jumps = HourJumps::as_written;
  bool needs_temperature = false;  ///< refuse a file without a channel in a unit of temperature

  friend bool operator==(const RecordChoice&, const RecordChoice&) = default;
};

/// Reads what a logger exported: a table with ',', ';' or tabs between its columns, a header, and a
/// time in each row. Found from the file: encoding, separator, decimal mark, lines before the
/// header, units, kind of time. Refused with InputError (file, line, column): text where a number
/// belongs, ragged rows, names that stand twice, time that goes back, dates whose day and month the
/// file does not tell apart. A lone last row equal to the one before is left out. A clock that goes
/// back by an hour is refused unless `hour_jumps` is `taken_out`; one that jumps ahead is kept as
/// written. Both are noted in the record.
[[nodiscard]] Record read_record(const std::string& file, const RecordChoice& choice = {});

/// The same from text already decoded.
[[nodiscard]] Record read_record_text(const DecodedText& decoded, const RecordChoice& choice = {});

}  // namespace thawline::cases
