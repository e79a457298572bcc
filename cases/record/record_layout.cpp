#include "cases/record/record_layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

namespace thawline::cases {

namespace {

/// Rows looked at for a header, and rows of readings that tell what a column holds.
constexpr std::size_t most_preamble = 300;
constexpr std::size_t most_sample = 50;
constexpr std::size_t most_columns = 500;

struct Row {
  std::vector<Cell> cells;
  std::size_t begin = 0;
};

std::vector<Row> first_rows(std::string_view text, char separator) {
  std::vector<Row> rows;
  RowCursor cursor(text, separator);
  std::vector<Cell> cells;
  while (rows.size() < most_preamble + most_sample && cursor.next(cells)) {
    // Separators at the end of a row make no columns.
    while (cells.size() > 1 && cells.back().text.empty()) cells.pop_back();
    rows.push_back({cells, cursor.row_begin()});
  }
  return rows;
}

[[noreturn]] void fail_unseen(const SourceText& source, std::size_t at,
                              const std::string& sentence) {
  const FilePlace place = place_of(source.text, at);
  throw InputError(fmt::format("{}:{}:{}: {}", source.file, place.line, place.column, sentence),
                   sentence, Mistake::value);
}

bool only_words(const Row& row) {
  return std::all_of(row.cells.begin(), row.cells.end(), [](const Cell& cell) {
    const CellKind kind = kind_of(cell.text);
    return kind == CellKind::words || kind == CellKind::missing;
  });
}

/// Words alone, or numbers as the names of channels behind a word of time.
bool may_be_header(const Row& row) {
  if (only_words(row)) return true;
  return names_time(row.cells[0].text) &&
         std::all_of(row.cells.begin() + 1, row.cells.end(), [](const Cell& cell) {
           const CellKind kind = kind_of(cell.text);
           return kind == CellKind::words || kind == CellKind::missing || kind == CellKind::number;
         });
}

std::size_t filled_cells(const Row& row) {
  return static_cast<std::size_t>(std::count_if(row.cells.begin(), row.cells.end(),
                                                [](const Cell& c) { return !c.text.empty(); }));
}

std::string_view without_brackets(std::string_view text) {
  if (text.size() < 2) return text;
  const char open = text.front();
  const char close = text.back();
  const bool pair = (open == '(' && close == ')') || (open == '[' && close == ']');
  return pair ? without_blanks(text.substr(1, text.size() - 2)) : text;
}

/// `dd.mm.yyyy`, `MM/DD/YYYY` in a header.
DateOrder order_in_words(std::string_view words) {
  std::string small;
  for (const char c : words) small += c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
  const auto has = [&small](char mark, const char* first, const char* second) {
    return small.find(std::string(first) + mark + second) != std::string::npos;
  };
  for (const char mark : {'.', '/', '-'}) {
    if (has(mark, "dd", "mm")) {
      return small.find(std::string("mm") + mark + "dd") < small.find("dd") ? DateOrder::year_first
                                                                            : DateOrder::day_first;
    }
    if (has(mark, "mm", "dd")) {
      return has(mark, "yy", "mm") ? DateOrder::year_first : DateOrder::month_first;
    }
  }
  return DateOrder::open;
}

/// A row under the header of which every filled cell is a unit, one of them at least not a bare
/// word.
bool is_row_of_units(const Row& row) {
  bool some = false;
  for (const auto& cell : row.cells) {
    if (cell.text.empty()) continue;
    const auto text = without_brackets(cell.text);
    const bool dates = order_in_words(text) != DateOrder::open;
    if (!dates && !known_unit(text, UnitPlace::alone) && !is_missing(text)) return false;
    some = some || dates || !is_missing(text);
  }
  return some;
}

/// The zone a header names, as in `Date Time, GMT+01:00`.
std::optional<int> zone_in_words(std::string_view words) {
  for (const char* name : {"UTC", "GMT"}) {
    const std::size_t at = words.find(name);
    if (at == std::string_view::npos) continue;
    std::string_view rest = words.substr(at);
    return take_zone(rest);
  }
  return std::nullopt;
}

/// Takes the cells of the header and, where there is one, the row of units.
std::vector<Column> columns_of(const Row& header, const Row* units) {
  std::vector<Column> columns;
  std::map<std::string, int> stems;  // how many columns end in a lone letter behind this
  const auto stem_of = [](const std::string& text) {
    const bool letter =
        text.size() > 2 && (text[text.size() - 2] == ' ' || text[text.size() - 2] == '_');
    return letter ? text.substr(0, text.size() - 2) : std::string();
  };
  for (const auto& cell : header.cells) ++stems[stem_of(words_of(cell))];
  for (const auto& cell : header.cells) {
    const std::string words = words_of(cell);
    const HeaderWords taken = header_words(words, stems[stem_of(words)] > 1);
    Column column;
    column.name = taken.name;
    column.strange_unit = taken.strange;
    if (taken.unit) column.unit = *taken.unit;
    column.at = cell.at;
    columns.push_back(column);
  }
  if (units == nullptr) return columns;
  for (std::size_t i = 0; i < units->cells.size(); ++i) {
    if (i == columns.size()) columns.push_back({});
    const auto text = without_brackets(units->cells[i].text);
    if (const auto unit = known_unit(text, UnitPlace::alone)) {
      // The whole header cell is the name then.
      if (i < header.cells.size() && columns[i].unit.measured == Measured::unnamed) {
        columns[i].name = words_of(header.cells[i]);
      }
      columns[i].unit = *unit;
    }
  }
  return columns;
}

/// Index of the columns that tell the time in a row of readings, by what they hold.
struct TimeColumns {
  std::optional<std::size_t> date_time, date, clock, number;
  [[nodiscard]] bool any() const { return date_time || date || clock || number; }
};

TimeColumns time_columns(const std::vector<Column>& columns, const Row& row) {
  TimeColumns found;
  std::optional<std::size_t> by_unit;
  std::optional<std::size_t> by_word;
  for (std::size_t i = 0; i < std::min(columns.size(), row.cells.size()); ++i) {
    const CellKind kind = kind_of(row.cells[i].text);
    if (kind == CellKind::date_time && !found.date_time) found.date_time = i;
    if (kind == CellKind::date && !found.date) found.date = i;
    if (kind == CellKind::clock && !found.clock) found.clock = i;
    if (kind != CellKind::number) continue;
    if (columns[i].unit.measured == Measured::time && !by_unit) by_unit = i;
    if (names_time(columns[i].name) && !by_word) by_word = i;
  }
  found.number = by_unit ? by_unit : by_word;
  return found;
}

bool has_reading(const TimeColumns& time, const Row& row) {
  for (std::size_t i = 0; i < row.cells.size(); ++i) {
    if (i == time.date_time || i == time.date || i == time.clock) continue;
    if (!time.date_time && !time.clock && !time.date && i == time.number) continue;
    const CellKind kind = kind_of(row.cells[i].text);
    if (kind == CellKind::number || (kind == CellKind::missing && !row.cells[i].text.empty())) {
      return true;
    }
  }
  return false;
}

/// Where a header may stand, and what was found under it.
struct Candidate {
  std::size_t header = 0;
  bool units = false;
  std::size_t first_row = 0;   ///< index; rows.size() when there is none
  std::size_t understood = 0;  ///< cells of readings that are what they should be
};

std::size_t understood_cells(const std::vector<Row>& rows, std::size_t first, std::size_t columns) {
  std::size_t count = 0;
  const std::size_t end = std::min(rows.size(), first + most_sample);
  for (std::size_t r = first; r < end; ++r) {
    if (rows[r].cells.size() > columns) continue;
    for (const auto& cell : rows[r].cells) count += kind_of(cell.text) != CellKind::words ? 1 : 0;
  }
  return count;
}

/// The first row of words with readings right under it.
std::optional<Candidate> find_header(const std::vector<Row>& rows) {
  for (std::size_t h = 0; h + 1 < rows.size() && h < most_preamble; ++h) {
    if (filled_cells(rows[h]) < 2 || !may_be_header(rows[h])) continue;
    const bool units = h + 2 < rows.size() && is_row_of_units(rows[h + 1]);
    const std::size_t first = h + (units ? 2 : 1);
    const auto columns = columns_of(rows[h], units ? &rows[h + 1] : nullptr);
    // A first row that is ragged by a cell is told later, at its place.
    if (rows[first].cells.size() > columns.size() + 1) continue;
    const TimeColumns time = time_columns(columns, rows[first]);
    if (!time.any() || !has_reading(time, rows[first])) continue;
    return Candidate{h, units, first, understood_cells(rows, first, columns.size())};
  }
  return std::nullopt;
}

/// A row of words that names a time, though what follows is no reading: mistakes are told from it.
std::optional<Candidate> find_header_alone(const std::vector<Row>& rows) {
  for (std::size_t h = 0; h < rows.size() && h < most_preamble; ++h) {
    if (filled_cells(rows[h]) < 2 || !only_words(rows[h])) continue;
    const bool units = h + 1 < rows.size() && is_row_of_units(rows[h + 1]);
    const auto columns = columns_of(rows[h], units ? &rows[h + 1] : nullptr);
    bool time = false;
    bool unit = false;
    for (const auto& column : columns) {
      const bool own = names_time(column.name) || column.unit.measured == Measured::time;
      time = time || own;
      unit = unit || (column.unit.measured != Measured::unnamed);
    }
    if (time && unit) return Candidate{h, units, h + (units ? 2 : 1), 0};
  }
  return std::nullopt;
}

[[noreturn]] void fail_unknown(const SourceText& source,
                               const std::array<std::vector<Row>, 3>& tables) {
  constexpr const char* form = "expected a form like 'time [h]'";
  for (const auto& rows : tables) {
    for (std::size_t r = 0; r < rows.size() && r < most_preamble; ++r) {
      const auto& row = rows[r];
      if (filled_cells(row) < 2) continue;
      const bool header = only_words(row) && r + 1 < rows.size() &&
                          rows[r + 1].cells.size() == row.cells.size() && !only_words(rows[r + 1]);
      if (header) {
        const HeaderWords first = header_words(words_of(row.cells[0]), false);
        fail_unseen(source, row.cells[0].at,
                    first.strange.empty()
                        ? fmt::format("the header of this column names no unit of time; {}", form)
                        : fmt::format("what stands in brackets is not a unit of time; {}", form));
      }
      const bool readings = std::none_of(row.cells.begin(), row.cells.end(), [](const Cell& cell) {
        return kind_of(cell.text) == CellKind::words;
      });
      if (readings) {
        fail_unseen(source, row.cells[0].at,
                    fmt::format("no header stands above the first row of readings, so this column "
                                "names no unit; {} above it",
                                form));
      }
    }
  }
  fail_unseen(source, 0,
              "holds no header; expected one like 'time [h], air [degC]', with ',', ';' or tabs "
              "between its columns");
}

const char* kind_word(Measured measured) { return measured == Measured::clock ? "clock" : "time"; }

/// Sets what each column is used for, from the first rows of readings.
void settle_columns(const SourceText& source, const std::vector<Row>& rows,
                    const Candidate& candidate, RecordLayout& layout) {
  auto& columns = layout.columns;
  TimeColumns time;
  if (candidate.first_row < rows.size()) time = time_columns(columns, rows[candidate.first_row]);
  std::optional<std::size_t> number = time.number;
  if (!number) {
    for (std::size_t i = columns.size(); i-- > 0;) {
      const bool timely = columns[i].unit.measured == Measured::time || names_time(columns[i].name);
      if (timely) number = i;
    }
  }
  if (time.date_time) {
    layout.time_kind = TimeKind::date_time;
    columns[*time.date_time].use = ColumnUse::time;
  } else if (time.date && time.clock) {
    layout.time_kind = TimeKind::date_and_time;
    columns[*time.date].use = ColumnUse::date;
    columns[*time.clock].use = ColumnUse::clock;
  } else if (time.date) {
    layout.time_kind = TimeKind::date;
    columns[*time.date].use = ColumnUse::date;
  } else if (time.clock) {
    layout.time_kind = TimeKind::elapsed_clock;
    columns[*time.clock].use = ColumnUse::clock;
  } else {
    const std::size_t i = number.value_or(0);
    Column& column = columns[i];
    column.use = ColumnUse::time;
    const bool clock = column.unit.measured == Measured::clock;
    if (clock) {
      layout.time_kind = TimeKind::elapsed_clock;
      column.use = ColumnUse::clock;
    } else if (column.unit.measured != Measured::time) {
      constexpr const char* form = "expected a form like 'time [h]'";
      if (column.unit.measured != Measured::unnamed) {
        fail_unseen(source, column.at,
                    fmt::format("'{}' is not a unit of {}; {}", column.unit.written,
                                kind_word(column.unit.measured), form));
      }
      if (!column.strange_unit.empty()) {
        fail_unseen(source, column.at,
                    fmt::format("what stands in brackets is not a unit of time; {}", form));
      }
      fail_unseen(source, column.at,
                  fmt::format("the header of this column names no unit; {}", form));
    }
  }
}

/// Tells readings from words in the columns whose header names no unit, and finds units in cells.
void look_into_cells(const std::vector<Row>& rows, const Candidate& candidate,
                     RecordLayout& layout) {
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    Column& column = layout.columns[i];
    if (column.use != ColumnUse::reading) continue;
    std::size_t words = 0;
    std::size_t numbers = 0;
    std::string_view unit;
    const std::size_t end = std::min(rows.size(), candidate.first_row + most_sample);
    for (std::size_t r = candidate.first_row; r < end; ++r) {
      if (i >= rows[r].cells.size()) continue;
      const std::string_view text = rows[r].cells[i].text;
      const CellKind kind = kind_of(text);
      if (kind == CellKind::number) ++numbers;
      if (kind == CellKind::number && unit.empty()) unit = unit_behind(text);
      if (kind != CellKind::number && kind != CellKind::missing) ++words;
    }
    const bool named = column.unit.measured != Measured::unnamed;
    if (!unit.empty()) {
      column.unit_in_cells = true;
      if (!named) column.unit = *known_unit(unit, UnitPlace::free);
    }
    if (!named && unit.empty() && words > 0 && words >= numbers) column.use = ColumnUse::words;
  }
}

void refuse_same_names(const SourceText& source, const RecordLayout& layout) {
  std::map<std::string, std::size_t> seen;
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    if (layout.columns[i].use != ColumnUse::reading) continue;
    const auto [first, fresh] = seen.emplace(layout.columns[i].name, i);
    if (fresh) continue;
    const FilePlace place = place_of(source.text, layout.columns[i].at);
    fail_at(
        source, place.line, place.column,
        fmt::format("columns {} and {} are both named '{}'; each channel needs a name of its own",
                    first->second + 1, i + 1, shortened(layout.columns[i].name)));
  }
}

}  // namespace

RecordLayout find_layout(const SourceText& source) {
  constexpr std::array separators{'\t', ';', ','};
  std::array<std::vector<Row>, 3> tables;
  for (std::size_t s = 0; s < separators.size(); ++s) {
    tables[s] = first_rows(source.text, separators[s]);
  }
  std::optional<Candidate> best;
  std::size_t table = 0;
  for (std::size_t s = 0; s < separators.size(); ++s) {
    const auto found = find_header(tables[s]);
    if (!found || (best && best->understood >= found->understood)) continue;
    best = found;
    table = s;
  }
  for (std::size_t s = 0; s < separators.size() && !best; ++s) {
    best = find_header_alone(tables[s]);
    table = s;
  }
  if (!best) fail_unknown(source, tables);

  const auto& rows = tables[table];
  const Row& header = rows[best->header];
  const Row* units = best->units ? &rows[best->header + 1] : nullptr;
  RecordLayout layout;
  layout.separator = separators[table];
  layout.header_at = header.begin;
  if (units != nullptr) layout.units_at = units->begin;
  layout.first_row_at =
      best->first_row < rows.size() ? rows[best->first_row].begin : source.text.size();
  layout.columns = columns_of(header, units);
  if (layout.columns.size() > most_columns) {
    fail_unseen(source, header.begin,
                fmt::format("the header has {} columns; at most {} are read", layout.columns.size(),
                            most_columns));
  }
  for (const auto* row : {&header, units}) {
    if (row == nullptr) continue;
    for (const auto& cell : row->cells) {
      if (layout.date_order == DateOrder::open) layout.date_order = order_in_words(cell.text);
      if (!layout.zone) layout.zone = zone_in_words(cell.text);
    }
  }
  settle_columns(source, rows, *best, layout);
  look_into_cells(rows, *best, layout);
  for (std::size_t i = 0; i < layout.columns.size(); ++i) {
    if (layout.columns[i].name.empty()) layout.columns[i].name = fmt::format("column {}", i + 1);
  }
  refuse_same_names(source, layout);
  return layout;
}

}  // namespace thawline::cases
