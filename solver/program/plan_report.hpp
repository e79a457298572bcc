#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cases/read_plan.hpp"

namespace thawline::program {

/// What a whole table answers of what its plan asked: coolants compared, values found, the spread.
/// Empty for a plan that only varies. Throws InputError when the table cannot be read.
[[nodiscard]] std::string plan_report(const cases::ReadPlan& read, const std::string& table_file);

/// The same for programs.
[[nodiscard]] nlohmann::ordered_json plan_report_json(const cases::ReadPlan& read,
                                                      const std::string& table_file);

/// One line on the detail that was chosen for all cases of a plan or trial; empty where they name
/// their own.
[[nodiscard]] std::string plan_detail_line(const cases::ReadPlan& read);
[[nodiscard]] nlohmann::ordered_json plan_detail_json(const cases::ReadPlan& read);

}  // namespace thawline::program
