#pragma once

#include <fstream>
#include <string>
#include <vector>

#include "solver/batch/column.hpp"

namespace thawline::solver::batch {

/// Writes a table as comma-separated text (RFC 4180 quotes, lines ended by a line feed): a heading
/// with units, then one line a row. Numbers read back to the same bits; what is not there is empty.
class CsvTable {
 public:
  /// Throws WriteError.
  CsvTable(std::string file, const std::vector<Column>& columns);
  void add(const Row& row);
  /// Throws WriteError when any of it could not be written.
  void finish();

 private:
  std::string file_;
  const std::vector<Column>* columns_;
  std::ofstream stream_;
};

}  // namespace thawline::solver::batch
