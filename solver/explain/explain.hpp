#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "cases/explain/two_cases.hpp"
#include "solver/results/run_case.hpp"
#include "solver/statistics/shapley.hpp"

namespace thawline::solver::explain {

/// Which answer is explained.
enum class Answer {
  held,   ///< h, how long a limit holds
  worst,  ///< degC, the warmest (coldest of a lower limit) of its probes once it was met
  heat,   ///< kJ, all heat that came in over the run
};

struct Question {
  std::string first_file, second_file;
  Answer answer = Answer::held;
  std::string limit;         ///< name in the first case; the first limit when empty
  std::size_t orders = 100;  ///< random ones, for more than `statistics::most_exact` groups
  std::uint64_t seed = 1;
  int threads = 1;
};

/// One group and its part of the difference.
struct Part {
  cases::InputGroup group;
  double share = 0;  ///< in the unit of the answer
  double error = 0;  ///< standard error; 0 where all orders were counted
};

/// A case between the two that could not be computed.
struct NotComputed {
  std::uint64_t subset = 0;
  std::string reason;
};

/// The difference of an answer between two cases, shared out among what they differ in.
struct Explained {
  Question question;
  std::string first_title, second_title, limit;
  std::string detail;  ///< how all cases were computed, in a line; empty where either names its own
  double from = 0, to = 0;      ///< the answer of the first and of the second
  std::vector<Part> parts;      ///< the largest first
  std::uint64_t cases = 0;      ///< computed or tried
  std::uint64_t outlasted = 0;  ///< held cut at the end of their run
  std::uint64_t never_within = 0;
  std::vector<NotComputed> not_computed;
  bool exact = true;  ///< all orders counted
  bool possible = true;
  double orders = 0, left_out = 0;
};

/// "h", "degC", "kJ".
[[nodiscard]] const char* unit_of(Answer answer);

/// Runs the cases between two cases and shares the difference of an answer out among their groups
/// of inputs by Shapley values. Where a case holds past the end of its run the run is made up to
/// eight times as long. A trace that ends before holds its last reading. Throws InputError.
[[nodiscard]] Explained explain(const Question& question, const cases::MaterialShelf& shelf);

/// One sentence: "the second holds 2.3 h longer: 1.6 h for its start, 0.7 h for its amount".
[[nodiscard]] std::string explained_sentence(const Explained& explained);

}  // namespace thawline::solver::explain
