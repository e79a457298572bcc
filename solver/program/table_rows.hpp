#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/plan.hpp"
#include "solver/batch/case_label.hpp"
#include "solver/batch/read_table.hpp"

namespace thawline::program {

/// Place of a column in a table; it must be there.
[[nodiscard]] std::size_t column_at(const solver::batch::TableHead& head, const std::string& path);

/// Names of the limits as in the columns' paths.
[[nodiscard]] std::vector<std::string> limit_names(const solver::batch::TableHead& head);

/// A hold time in words, from a row's outcome (as the column's words) and hours held.
[[nodiscard]] std::string held_text(double outcome, double hours);

/// What tells a case from the others, but for what was drawn: "foam eps, air 20 degC".
using solver::batch::case_label;

/// The same by name, numbers as numbers.
[[nodiscard]] nlohmann::ordered_json case_label_json(const cases::Plan& plan, std::uint64_t number);

/// null where there is nothing.
[[nodiscard]] nlohmann::ordered_json number_json(double number);

}  // namespace thawline::program
