#include "solver/batch/csv_table.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <string_view>
#include <utility>

#include "cases/units.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::batch {

namespace {

std::string quoted(const std::string& text) {
  if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

/// A spreadsheet takes a text with such a beginning for a formula; an apostrophe before it keeps it
/// a text.
std::string harmless(const std::string& text) {
  const bool formula =
      !text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos;
  return formula && !cases::read_number(text) ? "'" + text : text;
}

std::string cell(const Column& column, double number, const std::string& text) {
  if (column.kind == Kind::text) return quoted(harmless(text));
  if (number == blank) return {};
  if (column.kind == Kind::word) return column.words[static_cast<std::size_t>(number)];
  if (column.kind == Kind::whole) return fmt::format("{}", static_cast<std::int64_t>(number));
  return fmt::format("{}", number);
}

}  // namespace

CsvTable::CsvTable(std::string file, const std::vector<Column>& columns)
    : file_(std::move(file)), columns_(&columns), stream_(file_, std::ios::binary) {
  if (!stream_) {
    throw history::WriteError(
        fmt::format("{}: cannot be written ({})", file_, std::strerror(errno)));
  }
  std::string line;
  for (const auto& column : columns) {
    const std::string units = column.units == "1" ? "" : fmt::format(" [{}]", column.units);
    line += (line.empty() ? "" : ",") + quoted(harmless(column.path + units));
  }
  stream_ << line << '\n';
}

void CsvTable::add(const Row& row) {
  std::string line;
  for (std::size_t i = 0; i < columns_->size(); ++i) {
    if (i > 0) line += ',';
    line += cell((*columns_)[i], row.numbers[i], row.texts[i]);
  }
  stream_ << line << '\n';
}

void CsvTable::finish() {
  stream_.close();
  if (!stream_) {
    throw history::WriteError(
        fmt::format("{}: could not be written in full; make room and run this again", file_));
  }
}

}  // namespace thawline::solver::batch
