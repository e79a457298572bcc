#include "mesh/pack_edges.hpp"

#include <algorithm>
#include <cmath>

#include "mesh/breadth.hpp"

namespace thawline::mesh {

namespace {

using cases::Coolant;
using cases::Place;

double broad_face(const Coolant& pack) { return volume_of(pack) / pack.thickness; }

/// What lies on the floor or under the lid from the middle outward, over `area` (m2), as in a
/// section: with the same gap all round.
struct Spread {
  double border = 0;  ///< m, all round
  double gap = 0;     ///< m, from there to the wall
};

Spread spread_of(const cases::Box& box, double area) {
  const Breadth breadth = cases::breadth_inside(box);
  const double x = x_of_area(breadth, area);
  return {breadth.at(x), std::max(0.0, cases::half_width(box) - x)};
}

/// How much of a narrow face the air reaches across a gap to the next wall. Common practice, no
/// source; it keeps what a pack shows from falling at once as it grows to the wall.
double reached(double gap, double height) { return std::min(gap, height); }

/// The ends of packs that lie on the same place beside each other.
FreeEdge ends_of_lying(const cases::Case& c, const Coolant& pack) {
  double covered = 0;
  double length = 0;
  FreeEdge free;
  const Coolant* before = nullptr;
  const auto show = [&](const Coolant* inner, const Coolant* outer) {
    const double height_in = inner != nullptr ? inner->thickness : 0;
    const double height_out = outer != nullptr ? outer->thickness : 0;
    const Coolant* higher = height_in > height_out ? inner : outer;
    if (higher != &pack) return;
    const Spread spread = spread_of(c.box, covered);
    const double height = std::abs(height_in - height_out);
    free.area += spread.border * (outer != nullptr ? height : reached(spread.gap, height));
    length += spread.border;
  };
  for (const Coolant& other : c.coolants) {
    if (other.form != cases::CoolantForm::pack || other.place != pack.place) continue;
    if (other.mass <= 0) continue;
    if (before != nullptr) show(before, &other);
    covered += broad_face(other);
    before = &other;
  }
  show(before, nullptr);
  if (length > 0) free.length = free.area / length;
  return free;
}

/// The top of a band along the side walls.
FreeEdge top_of_band(const cases::Box& box, const Coolant& pack) {
  const double perimeter = floor_perimeter(box);
  const double gap = std::max(0.0, inside_height(box) - broad_face(pack) / perimeter);
  const double width = reached(gap, pack.thickness);
  return {perimeter * width, width / 2};
}

}  // namespace

FreeEdge free_edge(const cases::Case& c, const Coolant& pack) {
  switch (pack.place) {
    case Place::floor:
    case Place::lid:
      return ends_of_lying(c, pack);
    case Place::sides:
      return top_of_band(c.box, pack);
    case Place::free:
      return {4 * std::sqrt(broad_face(pack)) * pack.thickness, pack.thickness};
    case Place::around_payload:
      return {};
  }
  return {};
}

double edge_length(const Coolant& pack, Facing facing) {
  return facing == Facing::sideways ? pack.thickness : pack.thickness / 2;
}

}  // namespace thawline::mesh
