#pragma once

#include <chrono>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cases/input_error.hpp"
#include "cases/record/cell_kind.hpp"
#include "cases/record/channel_unit.hpp"
#include "cases/record/decode_text.hpp"
#include "cases/record/written_time.hpp"

namespace thawline::cases {

/// How rows tell their time.
enum class TimeKind : char {
  elapsed,        ///< a number and a unit
  elapsed_clock,  ///< h:mm or h:mm:ss without a date
  date_time,      ///< a date and a time in one column
  date_and_time,  ///< in two columns
  date,           ///< days only
};

/// One column of readings. Only the readings that are there are kept: `value[k]` was read in row
/// `row[k]`.
struct Channel {
  std::string name;
  ChannelUnit unit;
  bool unit_in_cells = false;      ///< the unit stands behind each number
  int column = 0;                  ///< in the file, from 0
  FilePlace place;                 ///< of its header cell
  std::vector<double> value;       ///< SI: K, fraction of humidity; other units as written
  std::vector<std::uint32_t> row;  ///< increasing
  std::size_t missing = 0;         ///< rows without a reading
  int decimals = 0;                ///< most digits behind the decimal mark
};

/// The logger's clock jumps by an hour between rows `row - 1` and `row`.
struct ClockJump {
  std::size_t row = 0;
  int line = 0;
  double by = 0;  ///< s
  bool taken_out = false;
};

/// A zone that changes within the file, from row `row` on.
struct ZoneChange {
  int line = 0;
  int from = 0, to = 0;  ///< s east of UTC
};

/// What a logger wrote down, and how it was understood.
struct Record {
  std::vector<double> time;              ///< s since the first row, increasing
  std::vector<std::uint32_t> row_begin;  ///< byte of `text` at which each row begins
  std::vector<Channel> channels;

  TimeKind time_kind = TimeKind::elapsed;
  std::string time_unit;     ///< of elapsed numbers, as written
  double first_elapsed = 0;  ///< s on the logger's own count at the first row, where there is one
  /// Date and time of the first row on the logger's clock.
  std::optional<std::chrono::sys_time<std::chrono::milliseconds>> first_on_clock;
  std::optional<int> zone;  ///< s east of UTC, of the first row, where the file tells it
  std::string zone_from;    ///< "rows", "header"
  DateOrder date_order = DateOrder::open;
  std::string date_order_from;  ///< what told it
  std::vector<ClockJump> jumps;
  std::vector<ZoneChange> zone_changes;

  char separator = ',';
  DecimalMark mark = DecimalMark::none;
  std::string encoding, line_end;
  bool byte_order_mark = false;
  int header_line = 0, unit_line = 0;  ///< unit_line 0: no row of units
  int first_line = 0;                  ///< of readings
  std::vector<std::string> time_columns;
  std::vector<std::string> left_aside;  ///< columns of words
  bool last_row_repeated = false;       ///< and left out
  std::shared_ptr<const SourceText> source;
};

/// Line of row `row`, from 1.
[[nodiscard]] int line_of_row(const Record& record, std::size_t row);

/// Throws InputError at the cell of `channel` (or the time, for -1) in row `row`. "{}" in the
/// sentence stands for what is written there.
[[noreturn]] void fail_at_reading(const Record& record, std::size_t row, int column,
                                  const std::string& sentence);

}  // namespace thawline::cases
