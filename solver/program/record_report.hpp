#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cases/record/record.hpp"

namespace thawline::program {

/// What was understood of a logger's record, and each channel with its span, interval, gaps,
/// resolution, noise and a small picture.
[[nodiscard]] std::string record_report(const cases::Record& record);

/// The same for programs, without pictures. Temperatures in K and times in s with the unit in each
/// key; readings of other channels as the file has them.
[[nodiscard]] nlohmann::ordered_json record_report_json(const cases::Record& record);

}  // namespace thawline::program
