#pragma once

#include <string_view>

namespace thawline::cases {

enum class CellKind : char { missing, number, date_time, date, clock, words };

/// What a cell looks like, whether or not the calendar knows the day. A number may have a decimal
/// point or comma and a known unit behind it.
[[nodiscard]] CellKind kind_of(std::string_view cell);

/// True for what loggers write where there is no reading: nothing, dashes, `NaN`, `OL`, `Err` and
/// such words, in any capitals.
[[nodiscard]] bool is_missing(std::string_view cell);

/// The decimal mark of a file; none as long as no number had one.
enum class DecimalMark : char { none, point, comma };

struct WrittenDecimal {
  double value = 0;
  int decimals = 0;  ///< digits behind the mark; of a number with an exponent 0
};

/// Reads a finite number that fills all of `cell`. The first mark met becomes `mark`, and the other
/// one is refused from then on; false when it is no such number.
[[nodiscard]] bool read_decimal(std::string_view cell, DecimalMark& mark, WrittenDecimal& number);

/// The unit behind a number, as in `21.5 °C`; empty without one, or when the cell is something
/// else.
[[nodiscard]] std::string_view unit_behind(std::string_view cell);

}  // namespace thawline::cases
