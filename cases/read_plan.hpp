#pragma once

#include <functional>
#include <string>

#include "cases/fit/fitted_values.hpp"
#include "cases/plan.hpp"

namespace thawline::cases {

/// A plan together with what all its cases share.
struct ReadPlan {
  Plan plan;
  Library library;
  Case base;  ///< as it stands in its file
};

/// Reads every trace the cases of a plan may name into its library. Where the plan varies how
/// traces are read, one that cannot be read fails its cases only. Throws InputError.
void take_traces(const YAML::Node& tree, ReadPlan& out);

/// Heat in J that a kilogram of a coolant takes up from its start to a temperature (K).
using TakenUp = std::function<double(const Coolant& coolant, double until)>;

/// Reads a plan file, its base case (beside it) and the materials of a folder. Every path is
/// followed and every form of value tried on the base case, so that a mistake is told with its
/// place in the plan. `taken_up` serves coolants on equal frozen energy, `fitted` tolerances from a
/// fit. Throws InputError.
[[nodiscard]] ReadPlan read_plan(const std::string& file, const std::string& material_folder,
                                 const TakenUp& taken_up, const FittedReader& fitted = {});

}  // namespace thawline::cases
