#pragma once

#include <cstdint>
#include <vector>

#include "cases/plan.hpp"
#include "solver/batch/answers.hpp"
#include "solver/batch/column.hpp"

namespace thawline::solver::batch {

/// The columns before the answers: number of the case, of combination and sample, and the inputs.
[[nodiscard]] std::vector<Column> leading_columns(const cases::Plan& plan);

/// The whole row of a case: number and inputs from the plan, then its answers.
[[nodiscard]] Row row_of(const cases::Plan& plan, std::uint64_t number, const Answers& answers);

}  // namespace thawline::solver::batch
