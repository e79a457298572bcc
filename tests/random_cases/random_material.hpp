#pragma once

#include <yaml-cpp/yaml.h>

#include "random_cases/draw.hpp"

namespace thawline::random_cases {

/// The entry of an invented material that melts, by any of the laws.
[[nodiscard]] YAML::Node draw_material(Draw& draw);

}  // namespace thawline::random_cases
