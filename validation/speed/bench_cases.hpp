#pragma once

#include <string>

#include "cases/read_case.hpp"

/// What the benchmarks march. The folder of the sources comes from the environment
/// (THAWLINE_SOURCES).
namespace thawline::validation {

[[nodiscard]] std::string sources();
[[nodiscard]] const cases::MaterialShelf& shelf();
/// File of a case of `validation/cases`.
[[nodiscard]] std::string file_of(const std::string& name);
/// Gel under bottles of juice, at the default accuracy.
[[nodiscard]] cases::Case gel_box();

}  // namespace thawline::validation
