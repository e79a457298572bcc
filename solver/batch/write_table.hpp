#pragma once

#include <functional>
#include <string>

#include "solver/batch/table_head.hpp"

namespace thawline::solver::batch {

/// Gives row 0, 1, ... in turn.
using RowSource = std::function<Row(std::uint64_t row)>;

/// Name of the table as CSV: that of the HDF5 file with `.csv`.
[[nodiscard]] std::string csv_name(const std::string& file);

/// Refuses names under which a table and its CSV may not be written (file_kind.hpp). Throws
/// WriteError.
void check_table_names(const std::string& file);

/// Writes the rows to `file` (HDF5, see TABLE.md) and the same as CSV beside it, both under
/// temporary names until whole. Memory does not grow with the rows. Throws WriteError.
void write_table(const std::string& file, const TableHead& head, const RowSource& source);

}  // namespace thawline::solver::batch
