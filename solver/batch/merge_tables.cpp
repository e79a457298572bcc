#include "solver/batch/merge_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>

#include "cases/input_error.hpp"
#include "solver/batch/read_table.hpp"
#include "solver/batch/write_table.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::batch {

using cases::InputError;

namespace {

void check_same(const TableFile& first, const TableFile& other) {
  const std::string changed = difference(first.head().inputs, other.head().inputs);
  if (!changed.empty()) {
    throw InputError(fmt::format("{}: is a part of another plan than '{}' ({} differ)",
                                 other.file(), first.file(), changed));
  }
  if (other.head().columns.size() != first.head().columns.size()) {
    throw InputError(fmt::format("{}: has other columns than '{}'", other.file(), first.file()));
  }
  if (other.head().parts != first.head().parts) {
    throw InputError(fmt::format("{}: is one of {} parts and '{}' is one of {}", other.file(),
                                 other.head().parts, first.file(), first.head().parts));
  }
}

/// The parts by number, each there once.
std::vector<TableFile> in_order(const std::vector<std::string>& files) {
  const std::uint64_t rows_at_once = std::max<std::uint64_t>(64, 8192 / files.size());
  std::vector<TableFile> tables;
  tables.reserve(files.size());
  for (const auto& file : files) tables.emplace_back(file, rows_at_once);
  const unsigned parts = tables.front().head().parts;
  std::vector<TableFile*> of(parts, nullptr);
  for (auto& table : tables) {
    check_same(tables.front(), table);
    TableFile*& place = of[table.head().part - 1];
    if (place != nullptr) {
      throw InputError(fmt::format("{}: holds part {} of {}, and so does '{}'", table.file(),
                                   table.head().part, parts, place->file()));
    }
    place = &table;
  }
  for (unsigned i = 0; i < parts; ++i) {
    if (of[i] == nullptr) {
      throw InputError(fmt::format("part {} of {} is missing", i + 1, parts));
    }
  }
  std::vector<TableFile> ordered;
  ordered.reserve(of.size());
  for (auto* table : of) ordered.push_back(std::move(*table));
  return ordered;
}

}  // namespace

std::uint64_t merge_tables(const std::vector<std::string>& files, const std::string& to) {
  for (const auto& name : {to, csv_name(to)}) {
    std::error_code error;
    if (std::filesystem::exists(std::filesystem::symlink_status(name, error))) {
      throw history::WriteError(
          fmt::format("{}: is there already; move it away or name another", name));
    }
  }
  check_table_names(to);
  std::vector<TableFile> parts = in_order(files);
  TableHead head = parts.front().head();
  head.part = 1;
  head.parts = 1;
  head.options = fmt::format("merged from {} parts", parts.size());
  for (const auto& part : parts) {
    head.started_utc = std::min(head.started_utc, part.head().started_utc);
    for (std::size_t k = 0; k < head.columns.size(); ++k) {
      auto& longest = head.columns[k].longest;
      longest = std::max(longest, part.head().columns[k].longest);
    }
  }
  write_table(to, head, [&parts](std::uint64_t row) {
    return parts[row % parts.size()].row(row / parts.size());
  });
  return head.cases;
}

}  // namespace thawline::solver::batch
