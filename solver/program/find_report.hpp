#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cases/plan.hpp"
#include "solver/batch/read_table.hpp"

namespace thawline::program {

/// What was sought and what was found, a line a case. `plan.find` must be there.
[[nodiscard]] std::string find_text(const cases::Plan& plan, const std::string& limit,
                                    solver::batch::TableFile& table);

/// The same for programs, with all of the table's columns on it.
[[nodiscard]] nlohmann::ordered_json find_json(const cases::Plan& plan, const std::string& limit,
                                               solver::batch::TableFile& table);

/// True when a value was found in any case.
[[nodiscard]] bool any_found(solver::batch::TableFile& table);

}  // namespace thawline::program
