#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/record/record.hpp"
#include "cases/record/row_cursor.hpp"

namespace thawline::cases {

enum class ColumnUse : char { time, date, clock, reading, words };

struct Column {
  std::string name;
  ChannelUnit unit;
  std::string strange_unit;  ///< in square brackets and not known
  bool unit_in_cells = false;
  ColumnUse use = ColumnUse::reading;
  std::size_t at = 0;  ///< byte at which its header cell begins
};

/// How a table of readings is laid out in a text.
struct RecordLayout {
  char separator = ',';
  std::vector<Column> columns;
  TimeKind time_kind = TimeKind::elapsed;
  std::size_t header_at = 0;
  std::optional<std::size_t> units_at;  ///< byte of the row of units
  std::size_t first_row_at = 0;
  DateOrder date_order = DateOrder::open;  ///< where the header tells it
  std::optional<int> zone;                 ///< s east of UTC, where the header tells it
};

/// Finds separator, header and columns from the first rows. Throws InputError at the place where no
/// table can be told; it shows nothing of the file, which may be anything, a secret one too.
[[nodiscard]] RecordLayout find_layout(const SourceText& source);

}  // namespace thawline::cases
