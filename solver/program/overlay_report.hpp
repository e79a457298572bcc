#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/fit/trial.hpp"
#include "solver/trial/overlay.hpp"

namespace thawline::program {

/// Readings beside curves in words: a table for each record, hold times of both.
[[nodiscard]] std::string overlay_report(const cases::Trial& trial,
                                         const std::vector<solver::trial::RecordOverlay>& overlays);

/// The same for programs, in SI units.
[[nodiscard]] nlohmann::ordered_json overlay_report_json(
    const cases::Trial& trial, const std::vector<solver::trial::RecordOverlay>& overlays);

}  // namespace thawline::program
