#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "solver/batch/table_head.hpp"

namespace thawline::solver::batch {

/// A whole table on disk, read a block of rows at a time.
class TableFile {
 public:
  /// Reads the head. Throws InputError when the file is no table of this layout.
  TableFile(const std::string& file, std::uint64_t rows_at_once);
  ~TableFile();
  TableFile(TableFile&&) noexcept;
  TableFile(const TableFile&) = delete;
  TableFile& operator=(const TableFile&) = delete;
  TableFile& operator=(TableFile&&) = delete;

  [[nodiscard]] const TableHead& head() const { return head_; }
  [[nodiscard]] const std::string& file() const { return file_; }
  /// Row `row` from 0; rows asked for in turn are read in blocks. Throws InputError.
  [[nodiscard]] Row row(std::uint64_t row);

 private:
  struct Open;
  void read_head();
  void read_block(std::uint64_t first);

  std::string file_;
  TableHead head_;
  std::uint64_t rows_at_once_;
  std::unique_ptr<Open> open_;
};

}  // namespace thawline::solver::batch
