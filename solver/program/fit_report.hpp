#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "cases/fit/trial.hpp"
#include "solver/trial/fit_trial.hpp"
#include "solver/trial/verdict.hpp"

namespace thawline::program {

/// One fitted value in words: name, value, interval.
[[nodiscard]] std::string value_line(const solver::trial::Learnt& value);

/// What was learnt, what was not told, what stands out.
[[nodiscard]] std::string fit_report(const cases::Trial& trial, const solver::trial::Fitted& fitted,
                                     const std::optional<solver::trial::Verdict>& verdict);

/// The same for programs.
[[nodiscard]] nlohmann::ordered_json fit_report_json(
    const cases::Trial& trial, const solver::trial::Fitted& fitted,
    const std::optional<solver::trial::Verdict>& verdict);

}  // namespace thawline::program
