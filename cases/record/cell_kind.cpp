#include "cases/record/cell_kind.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string>

#include "cases/record/channel_unit.hpp"
#include "cases/record/row_cursor.hpp"
#include "cases/record/written_time.hpp"

namespace thawline::cases {

namespace {

constexpr std::size_t longest_number = 40;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Bytes of the number at the front, a unit or nothing behind it; 0 when there is none.
std::size_t number_length(std::string_view cell) {
  std::size_t i = 0;
  if (i < cell.size() && (cell[i] == '+' || cell[i] == '-')) ++i;
  const std::size_t first = i;
  bool digits = false;
  while (i < cell.size() && (is_digit(cell[i]) || cell[i] == '.' || cell[i] == ',')) {
    digits = digits || is_digit(cell[i]);
    ++i;
  }
  if (!digits || i == first) return 0;
  if (i + 1 < cell.size() && (cell[i] == 'e' || cell[i] == 'E')) {
    std::size_t k = i + 1;
    if (cell[k] == '+' || cell[k] == '-') ++k;
    const std::size_t exponent = k;
    while (k < cell.size() && is_digit(cell[k])) ++k;
    if (k > exponent) i = k;
  }
  return i;
}

}  // namespace

bool is_missing(std::string_view cell) {
  if (cell.empty()) return true;
  const char first = cell.front();
  if (is_digit(first)) return false;
  if (cell.size() > 12) return false;
  if (std::all_of(cell.begin(), cell.end(), [](char c) { return c == '-'; })) return true;
  if (std::all_of(cell.begin(), cell.end(), [](char c) { return c == '*' || c == '?'; })) {
    return true;
  }
  std::string word(cell);
  for (char& c : word) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  constexpr std::array words{"nan",  "n/a",   "na",      "null",    "none",    "ol",       "+ol",
                             "-ol",  "o.l",   "o.l.",    "over",    "under",   "overload", "err",
                             "err.", "error", "#n/a",    "#value!", "#num!",   "open",     "short",
                             "fail", "fault", "no data", "nodata",  "missing", "invalid",  "."};
  return std::any_of(words.begin(), words.end(),
                     [&word](const char* known) { return word == known; });
}

bool read_decimal(std::string_view cell, DecimalMark& mark, WrittenDecimal& number) {
  std::array<char, longest_number> digits;
  std::size_t count = 0;
  if (cell.starts_with("\xE2\x88\x92")) {  // U+2212, the minus sign of typesetting
    digits[count++] = '-';
    cell.remove_prefix(3);
  } else if (cell.starts_with('+')) {
    cell.remove_prefix(1);
    if (cell.starts_with('-')) return false;
  }
  if (cell.empty() || cell.size() + count >= longest_number) return false;
  std::size_t mark_at = 0;
  DecimalMark found = DecimalMark::none;
  for (const char c : cell) {
    digits[count] = c;
    if (c == ',' || c == '.') {
      if (found != DecimalMark::none) return false;
      found = c == ',' ? DecimalMark::comma : DecimalMark::point;
      if (mark != DecimalMark::none && found != mark) return false;
      digits[count] = '.';
      mark_at = count;
    }
    ++count;
  }
  const char* end = digits.data() + count;
  const auto [stop, error] = std::from_chars(digits.data(), end, number.value);
  if (error != std::errc{} || stop != end || !std::isfinite(number.value)) return false;
  if (found != DecimalMark::none) mark = found;
  number.decimals = 0;
  if (found != DecimalMark::none) {
    const bool plain = std::all_of(digits.data() + mark_at + 1, digits.data() + count, is_digit);
    if (plain) number.decimals = static_cast<int>(count - mark_at - 1);
  }
  return true;
}

std::string_view unit_behind(std::string_view cell) {
  const std::size_t length = number_length(cell);
  if (length == 0 || length == cell.size()) return {};
  const std::string_view unit = without_blanks(cell.substr(length));
  return known_unit(unit, UnitPlace::free) ? unit : std::string_view{};
}

CellKind kind_of(std::string_view cell) {
  if (is_missing(cell)) return CellKind::missing;
  DecimalMark any = DecimalMark::none;
  WrittenDecimal number;
  if (read_decimal(cell, any, number)) return CellKind::number;
  std::string_view rest = cell;
  if (take_date(rest)) {
    if (without_blanks(rest).empty()) return CellKind::date;
    return written_date_time(cell) ? CellKind::date_time : CellKind::words;
  }
  if (take_clock(rest)) return without_blanks(rest).empty() ? CellKind::clock : CellKind::words;
  return unit_behind(cell).empty() ? CellKind::words : CellKind::number;
}

}  // namespace thawline::cases
