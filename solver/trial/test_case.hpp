#pragma once

#include <vector>

#include "cases/fit/read_trial.hpp"
#include "solver/trial/asked_run.hpp"

namespace thawline::solver::trial {

/// The case of one record: with what differs in its test, `more` settings on top, and the logged
/// air outside `late` seconds later than the logger says. The run goes no further than `until` (s).
/// Throws cases::InputError.
[[nodiscard]] cases::Case test_case(const cases::ReadTrial& read, const cases::BaseCase& base,
                                    std::size_t record, const std::vector<cases::Setting>& more,
                                    double late, double until);

/// The last instant (s) of a record that is used, readings and weighings alike.
[[nodiscard]] double last_used(const cases::TestRecord& record);

}  // namespace thawline::solver::trial
