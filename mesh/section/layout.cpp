#include "mesh/section/layout.hpp"

#include <algorithm>

#include "mesh/box_faces.hpp"
#include "mesh/correlations/closed_gap.hpp"
#include "mesh/edge_conductance.hpp"

namespace thawline::mesh::section {

namespace {

using cases::Place;

/// Slope of the breadth in the side walls by which their four upright edges carry what they do in
/// steady state.
double upright_edge_slope(const cases::Box& box) {
  return slope_for_excess(floor_perimeter(box), 0,
                          layers_of(box.sides, correlations::gap_convection_sideways()),
                          4 * upright_edge_conductance(box));
}

/// Index of the layer at `depth`, −1 before the wall.
int layer_at(const cases::Wall& wall, double depth) {
  if (depth <= 0) return -1;
  int layer = 0;
  double end = 0;
  for (const auto& l : wall) {
    end += thickness_of(l);
    if (depth < end) return layer;
    ++layer;
  }
  return static_cast<int>(wall.size()) - 1;
}

}  // namespace

Layout layout_of(const cases::Case& c) {
  Layout layout;
  layout.breadth = cases::breadth_inside(c.box);
  layout.round = std::holds_alternative<cases::RoundInside>(c.box.inside);
  if (!layout.round) layout.breadth.slope_in_wall = upright_edge_slope(c.box);
  layout.half_width = cases::half_width(c.box);
  layout.height = inside_height(c.box);
  layout.packs = cases::place_packs(c);
  return layout;
}

WallPlace wall_at(const cases::Wall& side, const cases::Wall& level, Place level_place,
                  double beside, double beyond) {
  const double share_of_side = beside / thickness_of(side);
  const double share_of_level = beyond / thickness_of(level);
  const double relative = std::max(share_of_side, share_of_level);
  const int of_side = layer_at(side, beside);
  const int of_level = layer_at(level, beyond);
  bool is_side = share_of_side >= share_of_level;
  if (side.size() == level.size() && of_side != of_level) is_side = of_side > of_level;
  return is_side ? WallPlace{Place::sides, of_side, relative}
                 : WallPlace{level_place, of_level, relative};
}

}  // namespace thawline::mesh::section
