#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cases/read_plan.hpp"
#include "mesh/network.hpp"
#include "solver/batch/column.hpp"
#include "solver/results/run_case.hpp"

namespace thawline::solver::batch {

/// What one case of a batch came to: the answer columns but the last, `reason`, which is a text.
struct Answers {
  std::vector<double> numbers;
  std::string reason;  ///< why there are none, or what is to be known of them
};

/// Which answers a table has: those of the base case. Limits, coolants and payloads of other cases
/// go by their place in the list, heat by the name of its path.
struct AnswerShape {
  std::vector<std::string> limits, coolants, payloads, paths;
  std::optional<cases::Sought> find;  ///< its answers stand before the others
};

[[nodiscard]] AnswerShape answer_shape(const cases::ReadPlan& read);

/// The columns, times in h and heat in kJ; `status` and `reason` come last.
[[nodiscard]] std::vector<Column> answer_columns(const AnswerShape& shape);

/// Answers of a case that was solved, without those of a search.
[[nodiscard]] Answers answers_of(const AnswerShape& shape, const cases::Case& c,
                                 const mesh::Network& network, const RunResult& result);

/// Answers of a case that was refused or could not be solved: blank but for the status.
[[nodiscard]] Answers no_answers(const AnswerShape& shape, const std::string& reason);

[[nodiscard]] bool failed(const Answers& answers);

}  // namespace thawline::solver::batch
