#pragma once

#include <string>

#include "cases/case.hpp"
#include "cases/read_material.hpp"

namespace thawline::cases {

/// Reads a case file into SI data. Materials named in it come from its own `materials` first,
/// then from `shelf`. Trace files are looked for beside the case file. Throws InputError.
[[nodiscard]] Case read_case(const std::string& file, const MaterialShelf& shelf);

/// The same from text already in memory; `file` serves messages and finding traces.
[[nodiscard]] Case read_case_text(const std::string& file, const std::string& text,
                                  const MaterialShelf& shelf);

}  // namespace thawline::cases
