#include "cases/record/written_time.hpp"

#include <array>
#include <charconv>

namespace thawline::cases {

namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
char small(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

struct Digits {
  int value = 0;
  int count = 0;
};

/// At most `most` digits off the front.
Digits take_digits(std::string_view& text, int most) {
  Digits digits;
  while (digits.count < most && !text.empty() && is_digit(text.front())) {
    digits.value = 10 * digits.value + (text.front() - '0');
    ++digits.count;
    text.remove_prefix(1);
  }
  return digits;
}

bool take(std::string_view& text, char c) {
  if (text.empty() || text.front() != c) return false;
  text.remove_prefix(1);
  return true;
}

void skip_blanks(std::string_view& text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
}

bool take_word(std::string_view& text, std::string_view word) {
  if (text.size() < word.size()) return false;
  for (std::size_t i = 0; i < word.size(); ++i) {
    if (small(text[i]) != word[i]) return false;
  }
  text.remove_prefix(word.size());
  return true;
}

/// English names, in full or by three letters.
int take_month(std::string_view& text) {
  constexpr std::array names{"january", "february", "march",     "april",   "may",      "june",
                             "july",    "august",   "september", "october", "november", "december"};
  for (std::size_t i = 0; i < names.size(); ++i) {
    const std::string_view name = names[i];
    if (!take_word(text, name) && !take_word(text, name.substr(0, 3))) continue;
    return static_cast<int>(i) + 1;
  }
  return 0;
}

std::optional<WrittenDate> date_at(std::string_view& text) {
  const Digits first = take_digits(text, 4);
  if (first.count == 0 || first.count == 3 || text.empty()) return std::nullopt;
  const char mark = text.front();
  if (mark != '-' && mark != '/' && mark != '.' && mark != ' ') return std::nullopt;
  text.remove_prefix(1);
  WrittenDate date{first.value, 0, 0, DateOrder::open, false};
  if (first.count == 4) {
    date.second = take_digits(text, 2).value;
    if (mark == ' ' || !take(text, mark)) return std::nullopt;
    const Digits third = take_digits(text, 2);
    date.third = third.value;
    date.order = DateOrder::year_first;
    return third.count > 0 ? std::optional(date) : std::nullopt;
  }
  if (const int month = take_month(text)) {
    date.second = month;
    date.order = DateOrder::day_first;
  } else {
    const Digits second = take_digits(text, 2);
    if (second.count == 0 || mark == ' ') return std::nullopt;
    date.second = second.value;
    if (mark == '.') date.order = DateOrder::day_first;
  }
  if (!take(text, mark)) return std::nullopt;
  const Digits third = take_digits(text, 4);
  date.third = third.value;
  date.short_year = third.count <= 2;
  return third.count == 4 || third.count == 2 ? std::optional(date) : std::nullopt;
}

std::optional<WrittenClock> clock_at(std::string_view& text) {
  const Digits hours = take_digits(text, 5);
  if (hours.count == 0 || !take(text, ':')) return std::nullopt;
  const Digits minutes = take_digits(text, 2);
  if (minutes.count != 2 || minutes.value > 59) return std::nullopt;
  WrittenClock clock{3600.0 * hours.value + 60 * minutes.value, false};
  if (take(text, ':')) {
    const Digits seconds = take_digits(text, 2);
    if (seconds.count != 2 || seconds.value > 59) return std::nullopt;
    clock.seconds += seconds.value;
    if (text.size() > 1 && (text[0] == '.' || text[0] == ',') && is_digit(text[1])) {
      text.remove_prefix(1);
      double unit = 0.1;
      for (; !text.empty() && is_digit(text.front()); unit /= 10) {
        clock.seconds += unit * (text.front() - '0');
        text.remove_prefix(1);
      }
    }
  }
  std::string_view rest = text;
  skip_blanks(rest);
  const bool am = take_word(rest, "am") || take_word(rest, "a.m.");
  if (am || take_word(rest, "pm") || take_word(rest, "p.m.")) {
    if (hours.value < 1 || hours.value > 12) return std::nullopt;
    clock.half_day = true;
    clock.seconds += 3600.0 * (hours.value % 12 + (am ? 0 : 12) - hours.value);
    text = rest;
  }
  return clock;
}

std::optional<int> offset_at(std::string_view& text) {
  const bool west = !text.empty() && text.front() == '-';
  if (!take(text, '+') && !take(text, '-')) return std::nullopt;
  const Digits hours = take_digits(text, 2);
  if (hours.count == 0 || hours.value > 15) return std::nullopt;
  take(text, ':');
  const Digits minutes = take_digits(text, 2);
  if (minutes.count == 1 || minutes.value > 59) return std::nullopt;
  const int seconds = 3600 * hours.value + 60 * minutes.value;
  return west ? -seconds : seconds;
}

std::optional<int> zone_at(std::string_view& text) {
  if (take_word(text, "utc") || take_word(text, "gmt")) {
    std::string_view rest = text;
    const auto offset = offset_at(rest);
    if (offset) text = rest;
    return offset.value_or(0);
  }
  if (take(text, 'Z') || take(text, 'z')) return 0;
  return offset_at(text);
}

template <typename Value, typename Read>
std::optional<Value> taken(std::string_view& text, Read read) {
  std::string_view rest = text;
  const std::optional<Value> value = read(rest);
  if (value) text = rest;
  return value;
}

}  // namespace

const char* word_of(DateOrder order) {
  switch (order) {
    case DateOrder::year_first:
      return "year_first";
    case DateOrder::day_first:
      return "day_first";
    case DateOrder::month_first:
      return "month_first";
    case DateOrder::open:
      break;
  }
  return "open";
}

std::optional<WrittenDate> take_date(std::string_view& text) {
  return taken<WrittenDate>(text, date_at);
}

std::optional<WrittenClock> take_clock(std::string_view& text) {
  return taken<WrittenClock>(text, clock_at);
}

std::optional<int> take_zone(std::string_view& text) { return taken<int>(text, zone_at); }

std::optional<WrittenDateTime> written_date_time(std::string_view text) {
  const auto date = take_date(text);
  if (!date || text.empty()) return std::nullopt;
  if (!take(text, 'T') && !take(text, 't') && text.front() != ' ' && text.front() != ',') {
    return std::nullopt;
  }
  take(text, ',');
  skip_blanks(text);
  const auto clock = take_clock(text);
  // 24:00:00 is the end of a day in ISO 8601.
  if (!clock || clock->seconds > 86400) return std::nullopt;
  WrittenDateTime out{*date, *clock, std::nullopt};
  skip_blanks(text);
  if (!text.empty()) out.zone = take_zone(text);
  return text.empty() ? std::optional(out) : std::nullopt;
}

std::optional<std::chrono::sys_days> day_of(const WrittenDate& date, DateOrder order) {
  if (date.order != DateOrder::open) order = date.order;
  int year = date.third;
  int month = date.second;
  int day = date.first;
  if (order == DateOrder::year_first) std::swap(year, day);
  if (order == DateOrder::month_first) std::swap(month, day);
  // A date of four digits at its end has no year in front.
  if (order == DateOrder::year_first && date.order == DateOrder::open && !date.short_year) {
    return std::nullopt;
  }
  if (date.short_year) year += 2000;
  const std::chrono::year_month_day ymd{std::chrono::year{year},
                                        std::chrono::month{static_cast<unsigned>(month)},
                                        std::chrono::day{static_cast<unsigned>(day)}};
  if (!ymd.ok() || year < 1900 || year > 2200) return std::nullopt;
  return std::chrono::sys_days{ymd};
}

}  // namespace thawline::cases
