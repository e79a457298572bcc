#pragma once

#include <string>

#include "cases/fit/fitted_values.hpp"

namespace thawline::solver::trial {

/// Reads what `thawline fit` wrote (TRIAL.md), once its checksum was found right. Throws
/// cases::InputError.
[[nodiscard]] cases::FittedValues read_fitted(const std::string& file);

}  // namespace thawline::solver::trial
