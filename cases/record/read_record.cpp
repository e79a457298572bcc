#include "cases/record/read_record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "cases/record/record_clock.hpp"
#include "cases/record/record_layout.hpp"
#include "cases/record/row_cursor.hpp"

namespace thawline::cases {

namespace {

constexpr double absolute_zero_slack = 1e-6;  // K, for rounding
constexpr std::size_t most_zone_changes = 20;

class TableReader {
 public:
  TableReader(Record& record, const RecordLayout& layout)
      : record_(record),
        layout_(layout),
        text_(record.source->text),
        words_(layout.columns.size()),
        spelt_(layout.columns.size()) {
    for (std::size_t i = 0; i < layout.columns.size(); ++i) {
      const auto& column = layout.columns[i];
      if (column.use == ColumnUse::time) time_column_ = i;
      if (column.use == ColumnUse::date) date_column_ = i;
      if (column.use == ColumnUse::clock) clock_column_ = i;
      if (column.use == ColumnUse::words) record.left_aside.push_back(column.name);
      if (column.use == ColumnUse::time || column.use == ColumnUse::date ||
          column.use == ColumnUse::clock) {
        record.time_columns.push_back(column.name);
      }
      if (column.use != ColumnUse::reading) continue;
      Channel channel;
      channel.name = column.name;
      channel.unit = column.unit;
      channel.unit_in_cells = column.unit_in_cells;
      channel.column = static_cast<int>(i);
      channel.place = place_of(text_, column.at);
      record.channels.push_back(std::move(channel));
    }
  }

  void read() {
    const auto rows = static_cast<std::size_t>(
        std::count(text_.begin() + static_cast<std::ptrdiff_t>(layout_.first_row_at), text_.end(),
                   '\n') +
        1);
    record_.time.reserve(rows);
    record_.row_begin.reserve(rows);
    for (auto& channel : record_.channels) {
      channel.value.reserve(rows);
      channel.row.reserve(rows);
    }
    RowCursor cursor(text_, layout_.separator, layout_.first_row_at);
    std::vector<Cell> cells;
    std::size_t begin_before = 0;
    std::size_t end_before = 0;
    while (cursor.next(cells)) {
      const bool looked_at = cells.size() != layout_.columns.size() || cells[0].text.empty();
      if (looked_at && !fits(cells, cursor)) continue;
      const std::string_view row(text_.data() + cursor.row_begin(),
                                 cursor.row_end() - cursor.row_begin());
      const std::string_view before(text_.data() + begin_before, end_before - begin_before);
      // Some loggers write their last row twice.
      if (row == before && std::string_view(text_).find_first_not_of(" \t\n", cursor.row_end()) ==
                               std::string_view::npos) {
        record_.last_row_repeated = true;
        break;
      }
      begin_before = cursor.row_begin();
      end_before = cursor.row_end();
      read_row(cells, cursor.row_begin());
    }
    take_words_out();
  }

  [[nodiscard]] const std::vector<DateRun>& runs() const { return runs_; }
  [[nodiscard]] int date_column() const {
    return static_cast<int>(date_column_.value_or(time_column_.value_or(0)));
  }
  [[nodiscard]] int time_column() const {
    return static_cast<int>(clock_column_ ? *clock_column_
                                          : time_column_.value_or(date_column_.value_or(0)));
  }

 private:
  [[noreturn]] void fail(std::size_t at, const std::string& sentence,
                         Mistake mistake = Mistake::value) const {
    const FilePlace place = place_of(text_, at);
    fail_at(*record_.source, place.line, place.column, sentence, mistake);
  }

  [[nodiscard]] static std::string quoted(std::string_view text) {
    return shortened(std::string(text));
  }

  /// Takes off empty cells at the end. False for a row of empty cells alone; a ragged row throws.
  bool fits(std::vector<Cell>& cells, const RowCursor& cursor) const {
    const bool blank =
        std::all_of(cells.begin(), cells.end(), [](const Cell& cell) { return cell.text.empty(); });
    if (blank && cells.size() > 1) return false;
    const std::size_t wanted = layout_.columns.size();
    for (const auto& cell : cells) refuse_quotes(cell);
    while (cells.size() > wanted && cells.back().text.empty()) cells.pop_back();
    if (cells.size() == wanted) return true;
    const char* mark = "";
    if (layout_.separator == ',' && cells.size() > wanted) {
      mark = "; between commas decimals take a point, not a comma";
    }
    fail(cursor.row_begin(),
         fmt::format("{} cell{} here where the header has {} columns{}", cells.size(),
                     cells.size() == 1 ? " is" : "s are", wanted, mark));
  }

  void refuse_quotes(const Cell& cell) const {
    if (cell.quotes == Cell::Quotes::open) {
      fail(cell.at, "the quotation mark here is never closed");
    }
    if (cell.quotes == Cell::Quotes::text_after) {
      fail(cell.at, "text follows a closing quotation mark; a separator is expected");
    }
  }

  void read_row(const std::vector<Cell>& cells, std::size_t begin) {
    for (const auto& cell : cells) refuse_quotes(cell);
    record_.row_begin.push_back(static_cast<std::uint32_t>(begin));
    read_time(cells);
    const auto row = static_cast<std::uint32_t>(record_.time.size() - 1);
    for (auto& channel : record_.channels) {
      read_reading(cells[static_cast<std::size_t>(channel.column)], row, channel);
    }
  }

  /// A column whose header names no unit and in which words come before any number.
  [[nodiscard]] bool holds_words(const Channel& channel) const {
    return words_[static_cast<std::size_t>(channel.column)];
  }

  void take_words_out() {
    for (const auto& channel : record_.channels) {
      if (holds_words(channel)) record_.left_aside.push_back(channel.name);
    }
    std::erase_if(record_.channels,
                  [this](const Channel& channel) { return holds_words(channel); });
  }

  void read_reading(const Cell& cell, std::uint32_t row, Channel& channel) {
    if (holds_words(channel)) return;
    std::string_view text = cell.text;
    WrittenDecimal number;
    if (!read_decimal(text, record_.mark, number)) {
      if (is_missing(text)) {
        ++channel.missing;
        return;
      }
      if (channel.unit_in_cells) text = without_unit(cell, channel);
      if (!read_decimal(text, record_.mark, number)) {
        if (channel.unit.measured == Measured::unnamed && channel.value.empty()) {
          words_[static_cast<std::size_t>(channel.column)] = true;
          return;
        }
        refuse_number(cell, text);
      }
    }
    const double si = channel.unit.si(number.value);
    if (!std::isfinite(si)) refuse_number(cell, text);
    if (channel.unit.measured == Measured::temperature && si < -absolute_zero_slack) {
      fail(cell.at, fmt::format("'{}' is below absolute zero, and out of range", quoted(text)));
    }
    channel.value.push_back(si);
    channel.row.push_back(row);
    channel.decimals = std::max(channel.decimals, number.decimals);
  }

  /// The number before a unit, which must be that of the rows above; spelt as there it is known.
  [[nodiscard]] std::string_view without_unit(const Cell& cell, const Channel& channel) {
    std::string& known_spelling = spelt_[static_cast<std::size_t>(channel.column)];
    if (!known_spelling.empty() && cell.text.ends_with(known_spelling)) {
      return without_blanks(cell.text.substr(0, cell.text.size() - known_spelling.size()));
    }
    const std::string_view unit = unit_behind(cell.text);
    if (unit.empty()) return cell.text;
    const auto known = known_unit(unit, UnitPlace::free);
    const bool same = known && known->measured == channel.unit.measured &&
                      std::abs(known->zero - channel.unit.zero) < 1e-9;
    if (!same) {
      fail(cell.at, fmt::format("'{}' has another unit than the rows above it; expected {}",
                                quoted(cell.text), channel.unit.written));
    }
    known_spelling = unit;
    return without_blanks(cell.text.substr(0, cell.text.size() - unit.size()));
  }

  [[noreturn]] void refuse_number(const Cell& cell, std::string_view text) const {
    std::string hint;
    const auto count = [&text](char c) { return std::count(text.begin(), text.end(), c); };
    if (count(',') + count('.') > 1 && text.find_first_not_of("+-0123456789.,'") == text.npos) {
      hint = "; marks between thousands are not read";
    } else if (record_.mark == DecimalMark::point && count(',') == 1) {
      hint = "; the numbers above it have a decimal point";
    } else if (record_.mark == DecimalMark::comma && count('.') == 1) {
      hint = "; the numbers above it have a decimal comma";
    }
    fail(cell.at,
         fmt::format("'{}' is not a finite number, nor a known word for a missing reading{}",
                     quoted(text), hint),
         Mistake::form);
  }

  void read_time(const std::vector<Cell>& cells) {
    switch (record_.time_kind) {
      case TimeKind::elapsed:
        return read_elapsed(cells[*time_column_]);
      case TimeKind::elapsed_clock:
        return read_clock(cells[*clock_column_], false);
      case TimeKind::date_time:
        return read_date_time(cells[*time_column_]);
      case TimeKind::date:
        read_date(cells[*date_column_]);
        record_.time.push_back(0);
        return;
      case TimeKind::date_and_time:
        read_date(cells[*date_column_]);
        return read_clock(cells[*clock_column_], true);
    }
  }

  void read_elapsed(const Cell& cell) {
    WrittenDecimal number;
    if (!read_decimal(cell.text, record_.mark, number)) {
      if (cell.text.empty()) fail(cell.at, "the time is missing here");
      refuse_number(cell, cell.text);
    }
    const double time = layout_.columns[*time_column_].unit.si(number.value);
    record_.time.push_back(time);
  }

  void read_clock(const Cell& cell, bool of_day) {
    std::string_view rest = cell.text;
    const auto clock = take_clock(rest);
    rest = without_blanks(rest);
    if (clock && of_day && !rest.empty()) {
      if (const auto zone = take_zone(rest)) take_zone_in(zone, cell);
    } else if (of_day && clock) {
      take_zone_in(std::nullopt, cell);
    }
    if (!clock || !rest.empty() || (of_day && clock->seconds > 86400)) {
      fail(cell.at,
           fmt::format("'{}' is not {}; expected a form like '{}'", quoted(cell.text),
                       of_day ? "a time of day" : "a time", of_day ? "14:10:00" : "01:30:00"),
           Mistake::form);
    }
    record_.time.push_back(clock->seconds - zone_now_.value_or(0));
  }

  void read_date(const Cell& cell) {
    std::string_view rest = cell.text;
    const auto date = take_date(rest);
    if (!date || !rest.empty()) {
      fail(cell.at,
           fmt::format("'{}' is not a date; expected a form like '2026-03-02'", quoted(cell.text)),
           Mistake::form);
    }
    add_date(*date);
  }

  void read_date_time(const Cell& cell) {
    const auto when = written_date_time(cell.text);
    if (!when) {
      fail(cell.at,
           fmt::format(
               "'{}' is not a date and a time; expected a form like '2026-03-02 14:10' or as "
               "in the rows above it",
               quoted(cell.text)),
           Mistake::form);
    }
    take_zone_in(when->zone, cell);
    add_date(when->date);
    record_.time.push_back(when->clock.seconds - zone_now_.value_or(0));
  }

  void add_date(const WrittenDate& date) {
    if (runs_.empty() || !(runs_.back().date == date)) {
      runs_.push_back({date, record_.time.size()});
    }
  }

  void take_zone_in(std::optional<int> zone, const Cell& cell) {
    const bool first = record_.time.empty();
    if (first) {
      rows_tell_zone_ = zone.has_value();
      zone_now_ = zone ? zone : layout_.zone;
      record_.zone = zone_now_;
      if (zone_now_) record_.zone_from = zone ? "rows" : "header";
      return;
    }
    if (zone.has_value() != rows_tell_zone_) {
      fail(cell.at, fmt::format("'{}' has {} zone, and the rows above it have {}",
                                quoted(cell.text), zone ? "a" : "no", zone ? "none" : "one"));
    }
    if (!zone || zone == zone_now_) return;
    record_.zone_changes.push_back({place_of(text_, cell.at).line, *zone_now_, *zone});
    zone_now_ = zone;
    if (record_.zone_changes.size() > most_zone_changes) {
      fail(cell.at, fmt::format("'{}' changes the zone once more; at most {} changes are read",
                                quoted(cell.text), most_zone_changes));
    }
  }

  Record& record_;
  const RecordLayout& layout_;
  const std::string& text_;
  std::optional<std::size_t> time_column_, date_column_, clock_column_;
  std::vector<bool> words_;
  std::vector<std::string> spelt_;  ///< unit behind the numbers of a column
  std::vector<DateRun> runs_;
  std::optional<int> zone_now_;
  bool rows_tell_zone_ = false;
};

void refuse_too_few(const Record& record, const RecordLayout& layout) {
  const std::size_t rows = record.time.size();
  if (rows >= 2) return;
  const auto& text = record.source->text;
  const std::size_t at =
      rows == 0 ? layout.units_at.value_or(layout.header_at) : record.row_begin[0];
  const std::string sentence =
      fmt::format("ends after {} reading{}; at least two are expected", rows, rows == 1 ? "" : "s");
  const FilePlace place = place_of(text, at);
  if (rows == 1) fail_at(*record.source, place.line, 1, sentence);
  throw InputError(fmt::format("{}:{}:1: {}", record.source->file, place.line, sentence), sentence,
                   Mistake::value);
}

/// Nothing of the file is shown, as it may be anything that has columns.
void refuse_without_temperature(const SourceText& source, const RecordLayout& layout) {
  const Column* first = nullptr;
  for (const auto& column : layout.columns) {
    if (column.use != ColumnUse::reading) continue;
    if (column.unit.measured == Measured::temperature) return;
    if (first == nullptr) first = &column;
  }
  const std::size_t at = first != nullptr ? first->at : layout.header_at;
  std::string sentence = "the header of this column names no unit";
  if (first == nullptr) {
    sentence = "there is no column of readings beside the time";
  } else if (first->unit.measured != Measured::unnamed) {
    sentence = fmt::format("'{}' is not a unit of temperature", first->unit.written);
  } else if (!first->strange_unit.empty()) {
    sentence = "what stands in brackets is not a unit of temperature";
  }
  sentence += "; expected a form like 'air [degC]'";
  const FilePlace place = place_of(source.text, at);
  throw InputError(fmt::format("{}:{}:{}: {}", source.file, place.line, place.column, sentence),
                   sentence, Mistake::value);
}

/// Counts line feeds once for all jumps.
void note_lines(Record& record) {
  const auto& text = record.source->text;
  auto from = text.begin();
  int line = 1;
  for (auto& jump : record.jumps) {
    const auto to = text.begin() + static_cast<std::ptrdiff_t>(record.row_begin[jump.row]);
    line += static_cast<int>(std::count(from, to, '\n'));
    from = to;
    jump.line = line;
  }
}

}  // namespace

int line_of_row(const Record& record, std::size_t row) {
  return place_of(record.source->text, record.row_begin[row]).line;
}

void fail_at_reading(const Record& record, std::size_t row, int column,
                     const std::string& sentence) {
  const auto& text = record.source->text;
  RowCursor cursor(text, record.separator, record.row_begin[row]);
  std::vector<Cell> cells;
  (void)cursor.next(cells);
  const auto& cell =
      cells[std::min(static_cast<std::size_t>(std::max(column, 0)), cells.size() - 1)];
  std::string told = sentence;
  const auto gap = told.find("{}");
  if (gap != std::string::npos) told.replace(gap, 2, shortened(std::string(cell.text)));
  const FilePlace place = place_of(text, cell.at);
  fail_at(*record.source, place.line, place.column, told);
}

Record read_record_text(const DecodedText& decoded, const RecordChoice& choice) {
  Record record;
  record.encoding = decoded.encoding;
  record.line_end = decoded.line_end;
  record.byte_order_mark = decoded.byte_order_mark;
  record.source = decoded.source;
  const SourceText& source = *record.source;
  const RecordLayout layout = find_layout(source);
  if (choice.needs_temperature) refuse_without_temperature(source, layout);
  record.separator = layout.separator;
  record.time_kind = layout.time_kind;
  record.header_line = place_of(source.text, layout.header_at).line;
  if (layout.units_at) record.unit_line = place_of(source.text, *layout.units_at).line;
  for (const auto& column : layout.columns) {
    if (column.use == ColumnUse::time && layout.time_kind == TimeKind::elapsed) {
      record.time_unit = column.unit.written;
    }
  }
  TableReader reader(record, layout);
  reader.read();
  refuse_too_few(record, layout);
  record.first_line = line_of_row(record, 0);
  if (!reader.runs().empty()) {
    const bool asked = choice.dates != DateOrder::open;
    place_on_calendar(record, reader.runs(), asked ? choice.dates : layout.date_order,
                      asked ? "what was said" : "the header", reader.date_column());
  }
  check_time(record, choice.hour_jumps, reader.time_column());
  note_lines(record);
  return record;
}

Record read_record(const std::string& file, const RecordChoice& choice) {
  return read_record_text(read_encoded_file(file, most_record_bytes), choice);
}

}  // namespace thawline::cases
