#pragma once

#include <string>

#include "cases/fit/trial.hpp"
#include "cases/read_plan.hpp"

namespace thawline::cases {

/// A trial with its case, materials and traces (`shared.plan.base`, `shared.library`).
struct ReadTrial {
  Trial trial;
  ReadPlan shared;
};

/// Reads a trial file, its case and records (beside it). Throws InputError with the place in the
/// trial, or in a record for a reading.
[[nodiscard]] ReadTrial read_trial(const std::string& file, const std::string& material_folder);

}  // namespace thawline::cases
