#pragma once

#include <map>
#include <string>

#include "cases/case.hpp"
#include "cases/entry.hpp"
#include "cases/read_material.hpp"
#include "cases/read_trace.hpp"

namespace thawline::cases {

/// Reads a case file into SI data. Materials named in it come from its own `materials` first,
/// then from `shelf`. Trace files are looked for beside the case file. Throws InputError.
[[nodiscard]] Case read_case(const std::string& file, const MaterialShelf& shelf);

/// Trace files by name, as named from the case: read once and used by many cases.
using TraceShelf = std::map<std::string, LoggedFile>;

/// Longest case file read.
inline constexpr std::size_t most_case_bytes = 1U << 20U;

/// The same from a YAML tree already parsed; a trace is taken from `traces` where it is there.
[[nodiscard]] Case read_case_tree(const Entry& root, const MaterialShelf& shelf,
                                  const TraceShelf& traces);

/// The same from text already in memory; `file` serves messages and finding traces.
[[nodiscard]] Case read_case_text(const std::string& file, const std::string& text,
                                  const MaterialShelf& shelf);

}  // namespace thawline::cases
