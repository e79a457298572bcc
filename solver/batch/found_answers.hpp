#pragma once

#include <string>
#include <vector>

#include "cases/plan.hpp"
#include "solver/batch/column.hpp"
#include "solver/batch/find_value.hpp"

namespace thawline::solver::batch {

/// The columns a search adds, times in h.
[[nodiscard]] std::vector<Column> found_columns(const cases::Sought& sought);

/// What stands in them; `duration` (s) is that of the run at the value given.
[[nodiscard]] std::vector<double> found_numbers(const Found& found, double duration);

/// What is to be known of the value, or why there is none; empty when it is plainly there.
/// `because` is a sentence on what the case lacks, empty when nothing is known.
[[nodiscard]] std::string found_sentence(const cases::Sought& sought, const Found& found,
                                         const std::string& because);

}  // namespace thawline::solver::batch
