#pragma once

#include <string>

#include "cases/plan.hpp"

namespace thawline::cases {

/// A plan together with what all its cases share.
struct ReadPlan {
  Plan plan;
  Library library;
  Case base;  ///< as it stands in its file
};

/// Reads a plan file, its base case (beside it) and the materials of a folder. Every path is
/// followed and every form of value tried on the base case, so that a mistake is told with its
/// place in the plan. Throws InputError.
[[nodiscard]] ReadPlan read_plan(const std::string& file, const std::string& material_folder);

}  // namespace thawline::cases
