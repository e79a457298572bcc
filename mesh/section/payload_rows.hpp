#pragma once

#include <vector>

#include "mesh/section/layout.hpp"

namespace thawline::mesh::section {

/// Cans of one payload that share a temperature, or a block of food; a rectangle of the section, m.
struct PayloadRow {
  int payload = -1;
  double x0 = 0, x1 = 0, z0 = 0, z1 = 0;
  int cans = 0;  ///< 0: a block
};

/// Where payloads stand: on what lies on the floor, one on the other in the order of the case. Cans
/// stand upright, each layer filled from the middle outward all round the box, a row for each
/// diameter; at most 12 rows side by side and 12 layers, thicker where there are more. Squeezed
/// where they are higher than the room between the packs.
[[nodiscard]] std::vector<PayloadRow> payload_rows(const cases::Case& c, const Layout& layout);

}  // namespace thawline::mesh::section
