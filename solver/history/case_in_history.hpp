#pragma once

#include <string>

#include "cases/case.hpp"

namespace thawline::solver::history {

/// True when the file begins as a history does.
[[nodiscard]] bool looks_like_history(const std::string& file);

/// The case a whole history was computed from, read again from the texts in it: its own, that of
/// its materials and of its trace. No other file is needed. Throws cases::InputError, also for a
/// history that is damaged or was not finished.
[[nodiscard]] cases::Case case_in_history(const std::string& file);

}  // namespace thawline::solver::history
