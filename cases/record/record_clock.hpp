#pragma once

#include <vector>

#include "cases/record/read_record.hpp"
#include "cases/record/record.hpp"

namespace thawline::cases {

/// Rows from `row` on that stand under one date.
struct DateRun {
  WrittenDate date;
  std::size_t row = 0;
};

/// Turns times of day (s, in `record.time`) under their dates into seconds since the first row, and
/// sets the date order and the first row's instant. Throws InputError for a day the calendar does
/// not have, and when day and month cannot be told apart: neither by the calendar, nor by the way
/// they are written, nor because with one order alone the rows follow each other across midnight.
void place_on_calendar(Record& record, const std::vector<DateRun>& runs, DateOrder known,
                       const char* known_from, int date_column);

/// Checks that time goes on from row to row, notes jumps of an hour on a clock without a zone, and
/// takes them out when asked to. Throws InputError where it goes back or stands still.
void check_time(Record& record, HourJumps hour_jumps, int time_column);

}  // namespace thawline::cases
