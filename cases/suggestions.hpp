#pragma once

#include <string>
#include <vector>

namespace thawline::cases {

/// The material of `names` that is meant by `word`: by the nearest spelling, or by what people call
/// it in the trade. Empty when none comes to mind.
[[nodiscard]] std::string material_meant(const std::string& word,
                                         const std::vector<std::string>& names);

/// Where a key belongs that was found at another place, such as "a payload"; empty when it is no
/// key of a case at all, or of too many places.
[[nodiscard]] std::string place_of_key(const std::string& key);

}  // namespace thawline::cases
