#pragma once

#include <string>

#include "cases/read_plan.hpp"
#include "solver/batch/answers.hpp"

namespace thawline::solver::batch {

/// Reads and runs case `number` of a plan. A case that is refused or cannot be solved has answers
/// that say why. With `history_file` it writes its history there. Throws WriteError.
[[nodiscard]] Answers run_one(const cases::ReadPlan& read, const cases::BaseCase& base,
                              const AnswerShape& shape, std::uint64_t number,
                              const std::string& history_file);

}  // namespace thawline::solver::batch
