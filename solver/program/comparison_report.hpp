#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cases/read_plan.hpp"
#include "solver/batch/read_table.hpp"

namespace thawline::program {

/// Coolants on equal terms as lines of text: how much of each, whether it fits, and how long each
/// holds where nothing else varies. `plan.compare` must be there.
[[nodiscard]] std::string comparison_text(const cases::ReadPlan& read,
                                          solver::batch::TableFile& table);

/// The same for programs.
[[nodiscard]] nlohmann::ordered_json comparison_json(const cases::ReadPlan& read);

}  // namespace thawline::program
