#pragma once

#include <string>

#include "cases/case.hpp"
#include "cases/input_error.hpp"

namespace thawline::cases {

/// Reads a logger trace: a CSV whose header names two columns with their units in brackets, such
/// as `time [h], air [degC]`; then one row a reading, decimals with a point, times increasing,
/// '#' starts a comment line. Throws InputError with file, line and column.
[[nodiscard]] Trace read_trace(const std::string& file);

/// The same from text already in memory; `source.file` serves messages.
[[nodiscard]] Trace read_trace_text(const SourceText& source);

}  // namespace thawline::cases
