#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "mesh/network.hpp"
#include "solver/results/run_case.hpp"

namespace thawline::program {

/// What a person wants to know first, as lines of text: how long each limit holds, what ran out,
/// where the heat came from, cautions.
[[nodiscard]] std::string run_report(const cases::Case& c, const mesh::Network& network,
                                     const solver::RunResult& result);

/// The same for programs: SI values with the unit in each key, null for what never happened.
[[nodiscard]] nlohmann::ordered_json run_report_json(const cases::Case& c,
                                                     const mesh::Network& network,
                                                     const solver::RunResult& result);

/// Cautions that bite for this result, one sentence or two each.
[[nodiscard]] std::vector<std::string> cautions(const cases::Case& c, const mesh::Network& network,
                                                const solver::RunResult& result);

/// What `check` prints: the case as understood and a first closed-form estimate.
[[nodiscard]] std::string check_report(const cases::Case& c, const mesh::Network& network);

}  // namespace thawline::program
