#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "solver/batch/column.hpp"
#include "solver/batch/fingerprint.hpp"

namespace thawline::solver::batch {

/// What stands in a table besides its rows.
struct TableHead {
  std::string title;
  std::string plan_file, plan_text, case_file, case_text;
  Fingerprint inputs;
  std::uint64_t cases = 0;          ///< of the whole plan
  unsigned part = 1, parts = 1;     ///< this table holds the cases part, part + parts, ...
  std::uint64_t samples = 0;        ///< drawn for each combination; 0 without tolerances
  std::uint64_t contenders = 1;     ///< of a comparison, side by side in each combination
  std::vector<std::string> ranked;  ///< the drawn inputs, where they were drawn for a ranking
  std::string started_utc;
  std::string options;
  std::vector<Column> columns;
};

/// How many of `cases` a part holds.
[[nodiscard]] inline std::uint64_t rows_of_part(std::uint64_t cases, unsigned part,
                                                unsigned parts) {
  return cases < part ? 0 : (cases - part) / parts + 1;
}

/// The case in row `row` (from 0) of a part.
[[nodiscard]] inline std::uint64_t case_in_row(std::uint64_t row, unsigned part, unsigned parts) {
  return row * parts + part;
}

}  // namespace thawline::solver::batch
