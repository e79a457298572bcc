#pragma once

#include <string>
#include <vector>

#include "cases/varied_case.hpp"

namespace thawline::cases {

/// What must change beside the coolant itself when it takes another name: happenings that move it,
/// contents that stand on it, limits that watch it.
[[nodiscard]] std::vector<Setting> references_renamed(const YAML::Node& tree,
                                                      const std::string& from,
                                                      const std::string& to);

}  // namespace thawline::cases
