#pragma once

#include <yaml-cpp/yaml.h>

#include "random_cases/draw.hpp"

namespace thawline::random_cases {

/// The inside of a drawn box, m.
struct Inside {
  bool round = false;
  double length = 0, width = 0, height = 0;  ///< of a round one: diameter, diameter, height

  [[nodiscard]] double floor_area() const;  ///< m2
  [[nodiscard]] double side_area() const;   ///< m2
  [[nodiscard]] double volume() const { return floor_area() * height; }
  [[nodiscard]] double smallest() const;
};

struct DrawnBox {
  Inside inside;
  YAML::Node entry;
};

/// A box of one to four layers and gaps between them. A `small` one makes a section of some hundred
/// to a few thousand cells.
[[nodiscard]] DrawnBox draw_box(Draw& draw, bool small);

}  // namespace thawline::random_cases
