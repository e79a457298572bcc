#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace thawline::cases {

/// In which order a date gives year, month and day.
enum class DateOrder : char { open, year_first, day_first, month_first };

/// The word a key gives it by.
[[nodiscard]] const char* word_of(DateOrder order);

/// Three numbers of a date as they stand, and the order where the way it is written tells it: a
/// year of four digits in front, points between (day first), a month by its name.
struct WrittenDate {
  int first = 0, second = 0, third = 0;
  DateOrder order = DateOrder::open;
  bool short_year = false;  ///< a year of two digits

  friend bool operator==(const WrittenDate&, const WrittenDate&) = default;
};

/// A time on a clock or since a start.
struct WrittenClock {
  double seconds = 0;
  bool half_day = false;  ///< AM or PM
};

struct WrittenDateTime {
  WrittenDate date;
  WrittenClock clock;
  std::optional<int> zone;  ///< s east of UTC
};

// Each takes what it reads off the front of `text`; empty, and `text` as it was, when there is
// none.
[[nodiscard]] std::optional<WrittenDate> take_date(std::string_view& text);
/// `h:mm` or `h:mm:ss` with decimals, AM or PM after it. Minutes and seconds under 60.
[[nodiscard]] std::optional<WrittenClock> take_clock(std::string_view& text);
/// `Z`, `UTC`, `GMT`, `+01:00`, `+0100`, `UTC+1`; in s east of UTC.
[[nodiscard]] std::optional<int> take_zone(std::string_view& text);

/// A date and a time of day with `T` or blanks between, then a zone or none, filling all of `text`.
[[nodiscard]] std::optional<WrittenDateTime> written_date_time(std::string_view text);

/// The day meant in the given order; empty when the calendar has no such day. A year of two digits
/// is of this century.
[[nodiscard]] std::optional<std::chrono::sys_days> day_of(const WrittenDate& date, DateOrder order);

}  // namespace thawline::cases
