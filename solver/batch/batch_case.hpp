#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cases/read_plan.hpp"
#include "solver/batch/answers.hpp"

namespace thawline::solver::batch {

/// One run: its case, what became of it, and its answers. Without `c` the case was refused; the
/// result counts only when `answers` have not failed.
struct Solved {
  std::optional<cases::Case> c;
  RunResult result;
  Answers answers;
};

/// How a run goes on past the end of its trace: its limits are known no further, or the last
/// reading holds on as if it were given.
enum class PastTrace { unknown, as_given };

/// Reads the base case with `settings` and runs it. With `history_file` it writes its history
/// there. Throws WriteError.
[[nodiscard]] Solved solve_case(const cases::ReadPlan& read, const cases::BaseCase& base,
                                const AnswerShape& shape,
                                const std::vector<cases::Setting>& settings,
                                const std::string& history_file,
                                PastTrace past_trace = PastTrace::unknown);

/// Reads and runs case `number` of a plan, or searches with it where the plan seeks a value. A case
/// that is refused or cannot be solved has answers that say why. With `history_file` it writes its
/// history there. Throws WriteError.
[[nodiscard]] Answers run_one(const cases::ReadPlan& read, const cases::BaseCase& base,
                              const AnswerShape& shape, std::uint64_t number,
                              const std::string& history_file);

}  // namespace thawline::solver::batch
