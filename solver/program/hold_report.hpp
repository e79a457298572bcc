#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cases/read_plan.hpp"
#include "solver/batch/read_table.hpp"

namespace thawline::program {

/// True for a whole table whose cases differ by more than what was drawn, and that seeks no value.
[[nodiscard]] bool has_holds(const cases::ReadPlan& read, const solver::batch::TableFile& table);

/// Hold times of all combinations, coolants side by side, the best of each row marked; what ended
/// each, what was left frozen, how cold payloads came. With samples: P50 with P10 and P90.
[[nodiscard]] std::string holds_text(const cases::ReadPlan& read, solver::batch::TableFile& table);

/// The same for programs: an entry a combination, hours and degC.
[[nodiscard]] nlohmann::ordered_json holds_json(const cases::ReadPlan& read,
                                                solver::batch::TableFile& table);

/// How combinations that meet the same samples differ, a sentence a pair and limit; empty without
/// samples.
[[nodiscard]] std::string paired_text(const cases::ReadPlan& read, solver::batch::TableFile& table);
[[nodiscard]] nlohmann::ordered_json paired_json(const cases::ReadPlan& read,
                                                 solver::batch::TableFile& table);

}  // namespace thawline::program
