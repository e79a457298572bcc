#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cases/plan.hpp"
#include "solver/batch/read_table.hpp"
#include "solver/batch/spread.hpp"

namespace thawline::program {

/// The spread of a table that has one.
[[nodiscard]] solver::batch::Spread read_spread(solver::batch::TableFile& table);

/// How hold times spread under tolerances, and what matters, as lines of text.
[[nodiscard]] std::string spread_text(const cases::Plan& plan, const solver::batch::Spread& spread);

/// The same for programs.
[[nodiscard]] nlohmann::ordered_json spread_json(const cases::Plan& plan,
                                                 const solver::batch::Spread& spread);

}  // namespace thawline::program
