#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "cases/read_plan.hpp"

namespace thawline::program {

/// Coolants on equal terms as lines of text: how much of each, and whether it fits. `plan.compare`
/// must be there.
[[nodiscard]] std::string comparison_text(const cases::ReadPlan& read);

/// The same for programs.
[[nodiscard]] nlohmann::ordered_json comparison_json(const cases::ReadPlan& read);

}  // namespace thawline::program
