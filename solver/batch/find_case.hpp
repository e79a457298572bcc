#pragma once

#include <cstdint>
#include <string>

#include "solver/batch/batch_case.hpp"

namespace thawline::solver::batch {

/// Searches, with the inputs of case `number`, for the value the plan seeks. The answers are those
/// of the run at the value given. Runs last for 1.25 of the wanted hold time at least, and go on
/// where the limit is first met too late for that. With `history_file` the run at the value is
/// repeated and writes its history there. Throws WriteError.
[[nodiscard]] Answers find_one(const cases::ReadPlan& read, const cases::BaseCase& base,
                               const AnswerShape& shape, std::uint64_t number,
                               const std::string& history_file);

}  // namespace thawline::solver::batch
