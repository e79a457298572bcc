#pragma once

#include "cases/case.hpp"
#include "solver/heat/enthalpy_curve.hpp"

namespace thawline::solver {

/// Specific enthalpy (J/kg) a coolant starts with, on the curve of its material.
[[nodiscard]] double start_enthalpy(const cases::Coolant& coolant, const EnthalpyCurve& curve);

/// Heat (J/kg) a coolant takes up from its start to a temperature `until` (K), by its enthalpy
/// curve; negative when it starts warmer. At the melting point itself the melt does not count.
[[nodiscard]] double heat_taken_up(const cases::Coolant& coolant, double until);

}  // namespace thawline::solver
