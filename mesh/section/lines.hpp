#pragma once

#include <vector>

#include "mesh/section/layout.hpp"
#include "mesh/section/spacing.hpp"

namespace thawline::mesh::section {

struct Lines {
  std::vector<double> x, z;  ///< m, rising
};

/// Lines of the grid: one on every face of a layer, pack and water line, and graded ones between,
/// fine at the faces of walls.
[[nodiscard]] Lines lines_of(const cases::Case& c, const Layout& layout, double water_line,
                             const Spacing& spacing);

}  // namespace thawline::mesh::section
