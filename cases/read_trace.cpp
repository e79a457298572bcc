#include "cases/read_trace.hpp"

#include <fmt/format.h>

#include <cmath>
#include <sstream>
#include <string_view>

#include "cases/input_error.hpp"
#include "cases/units.hpp"

namespace thawline::cases {

namespace {

constexpr std::size_t most_bytes = 32U << 20U;
constexpr double most_time = 10 * 366 * 86400.0;

struct CsvCell {
  std::string text;
  int column = 1;
};

std::vector<CsvCell> split(const std::string& line) {
  std::vector<CsvCell> cells;
  std::size_t begin = 0;
  while (true) {
    const std::size_t comma = line.find(',', begin);
    const std::size_t end = comma == std::string::npos ? line.size() : comma;
    std::size_t first = begin;
    std::size_t last = end;
    while (first < last && (line[first] == ' ' || line[first] == '\t')) ++first;
    while (last > first && (line[last - 1] == ' ' || line[last - 1] == '\t')) --last;
    cells.push_back({line.substr(first, last - first), static_cast<int>(first) + 1});
    if (comma == std::string::npos) return cells;
    begin = comma + 1;
  }
}

/// From a column's unit to SI.
struct Scale {
  double zero = 0;
  double one = 1;
  [[nodiscard]] double si(double value) const { return zero + value * (one - zero); }
};

/// Until its header is understood the file may be anything, a secret one too: nothing of it is
/// shown.
[[noreturn]] void fail_unseen(const SourceText& source, int line, int column,
                              const std::string& sentence) {
  throw InputError(fmt::format("{}:{}:{}: {}", source.file, line, column, sentence), sentence,
                   Mistake::value);
}

Scale scale_in_header(const SourceText& source, int line, const CsvCell& cell, const char* si_unit,
                      const char* what) {
  const char* form = std::string_view(what) == "time" ? "time [h]" : "air [degC]";
  const auto open = cell.text.find('[');
  const auto close = cell.text.find(']');
  if (open == std::string::npos || close == std::string::npos || close < open) {
    fail_unseen(
        source, line, cell.column,
        fmt::format("the header of this column names no unit; expected a form like '{}'", form));
  }
  const std::string unit = cell.text.substr(open + 1, close - open - 1);
  const auto zero = convert(0, unit, si_unit);
  const auto one = convert(1, unit, si_unit);
  if (!zero || !one) {
    const bool known = convert(1, unit, unit).has_value();
    fail_unseen(source, line, cell.column,
                fmt::format("{} is not a unit of {}; expected a form like '{}'",
                            known ? "'" + unit + "'" : "what stands in brackets", what, form));
  }
  return {*zero, *one};
}

double read_cell(const SourceText& source, int line, const CsvCell& cell) {
  if (cell.text.empty()) fail_at(source, line, cell.column, "a reading is missing here");
  const auto value = read_number(cell.text);
  if (!value) {
    fail_at(source, line, cell.column,
            fmt::format("'{}' is not a finite number", shortened(cell.text)));
  }
  return *value;
}

}  // namespace

Trace read_trace(const std::string& file) {
  return read_trace_text(read_text_file(file, most_bytes));
}

Trace read_trace_text(const SourceText& source) {
  std::istringstream stream(source.text);
  std::string text;
  Trace trace;
  trace.text = std::make_shared<const std::string>(source.text);
  Scale clock;
  Scale scale;
  bool header_read = false;
  for (int line = 1; std::getline(stream, text); ++line) {
    if (!text.empty() && text.back() == '\r') text.pop_back();
    if (text.find_first_not_of(" \t") == std::string::npos || text.front() == '#') continue;
    const auto cells = split(text);
    if (cells.size() != 2) {
      const std::string sentence = fmt::format(
          "two columns (time, temperature) are expected, {} are here; decimals "
          "take a point, not a comma",
          cells.size());
      if (!header_read) fail_unseen(source, line, 1, sentence);
      fail_at(source, line, 1, sentence);
    }
    if (!header_read) {
      clock = scale_in_header(source, line, cells[0], "s", "time");
      scale = scale_in_header(source, line, cells[1], "K", "temperature");
      header_read = true;
      continue;
    }
    const double time = clock.si(read_cell(source, line, cells[0]));
    const double temperature = scale.si(read_cell(source, line, cells[1]));
    if (std::abs(time) > most_time) {
      fail_at(source, line, cells[0].column,
              fmt::format("the time '{}' is more than 10 years off", cells[0].text));
    }
    if (!trace.time.empty() && time <= trace.time.back()) {
      fail_at(source, line, cells[0].column,
              time == trace.time.back() ? "this time stands twice"
                                        : "times must increase from row to row");
    }
    if (temperature < 150 || temperature > 400) {
      fail_at(source, line, cells[1].column,
              fmt::format("'{}' is out of range; allowed is -123 to 127 degC", cells[1].text));
    }
    trace.time.push_back(time);
    trace.temperature.push_back(temperature);
  }
  if (trace.time.size() < 2) fail_at(source, 0, 0, "holds fewer than two readings");
  return trace;
}

}  // namespace thawline::cases
