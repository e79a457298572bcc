#pragma once

#include <set>
#include <string>

namespace thawline::solver::batch {

/// A name as one part of a column's path, different from those `taken` before; joins them.
[[nodiscard]] std::string path_word(std::string name, std::set<std::string>& taken);

}  // namespace thawline::solver::batch
