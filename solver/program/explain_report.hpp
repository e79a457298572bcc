#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "solver/explain/explain.hpp"

namespace thawline::program {

/// A difference shared out, as a table, one sentence, and what is to be known of it.
[[nodiscard]] std::string explain_report(const solver::explain::Explained& explained);

/// The same for programs.
[[nodiscard]] nlohmann::ordered_json explain_report_json(
    const solver::explain::Explained& explained);

/// Why nothing could be shared out.
[[nodiscard]] std::string impossible_text(const solver::explain::Explained& explained);

}  // namespace thawline::program
