#pragma once

#include <yaml-cpp/yaml.h>

#include <string>
#include <vector>

#include "random_cases/draw.hpp"

namespace thawline::random_cases {

struct DrawnSurroundings {
  YAML::Node entry;
  std::string trace;  ///< CSV text; empty when the air is no trace
};

/// Air of any form over a run of `duration` (s); a trace is called `trace_file`.
[[nodiscard]] DrawnSurroundings draw_surroundings(Draw& draw, double duration,
                                                  const std::string& trace_file);

/// Openings of the lid, and coming and going of some of `items`; null when nothing happens.
[[nodiscard]] YAML::Node draw_happenings(Draw& draw, double duration,
                                         const std::vector<std::string>& items);

}  // namespace thawline::random_cases
