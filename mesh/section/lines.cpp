#include "mesh/section/lines.hpp"

#include <algorithm>
#include <cmath>

namespace thawline::mesh::section {

namespace {

/// A layer thinner than this of something denser than foam is a skin: the same cells all through.
constexpr double skin_thickness = 6e-3;
constexpr double skin_conductivity = 0.1;
/// Cells of a melting pack, as in columns.
constexpr double pack_cell = 2e-3;

/// A stretch between two faces.
struct Stretch {
  double end = 0;  ///< m
  double begin_size = 0, end_size = 0;
  double largest = 0;
  int least = 1;
};

class Line {
 public:
  Line(double begin, const Spacing& spacing) : spacing_(spacing), values_{begin} {}

  void add(const Stretch& s) {
    const double length = s.end - values_.back();
    if (length < 1e-7) return;
    const double begin = values_.back();
    double done = 0;
    const auto widths =
        graded_widths(length, s.begin_size, s.end_size, spacing_.growth, s.largest, s.least);
    for (std::size_t i = 0; i + 1 < widths.size(); ++i) {
      done += widths[i];
      values_.push_back(begin + done);
    }
    values_.push_back(s.end);
  }

  [[nodiscard]] double last() const { return values_.back(); }
  [[nodiscard]] const std::vector<double>& values() const { return values_; }

 private:
  Spacing spacing_;
  std::vector<double> values_;
};

bool is_skin(const cases::Layer& layer) {
  const auto* solid = std::get_if<cases::SolidLayer>(&layer);
  return solid == nullptr || (solid->thickness <= skin_thickness &&
                              solid->material.conductivity_solid.at(283) > skin_conductivity);
}

void add_layer(Line& line, const cases::Layer& layer, const Spacing& s) {
  const double thickness = thickness_of(layer);
  if (is_skin(layer)) {
    // At least one cell, and more where a skin is thick beside the finest cells.
    const double size = std::max(thickness / std::ceil(thickness / (2 * s.finest)), s.finest / 2);
    line.add({line.last() + thickness, size, size, size, 1});
  } else {
    line.add({line.last() + thickness, s.finest, s.finest, s.coarsest, 4});
  }
}

void add_wall(Line& line, const cases::Wall& wall, bool outward, const Spacing& s) {
  for (std::size_t i = 0; i < wall.size(); ++i) {
    add_layer(line, outward ? wall[i] : wall[wall.size() - 1 - i], s);
  }
}

/// The inside from the last line to `end`, with the faces of packs in between. At a wall cells are
/// as fine as in the wall.
void add_inside(Line& line, double end, std::vector<double> faces, bool wall_at_begin,
                double thickest_fine, const Spacing& s) {
  const double begin = line.last();
  std::erase_if(faces, [&](double f) { return f < begin + 1e-7 || f > end - 1e-7; });
  faces.push_back(end);
  std::sort(faces.begin(), faces.end());
  double from = begin;
  for (const double to : faces) {
    if (to - from < 1e-7) continue;
    const bool thin = to - from <= thickest_fine * (1 + 1e-9);
    const double fine_pack = std::min(pack_cell * s.finest / Spacing{}.finest, s.coarsest);
    const double edge = std::min(2 * s.finest, s.coarsest);
    const double at_begin = from == begin ? (wall_at_begin ? s.finest : s.coarsest) : edge;
    const double at_end = to == end ? s.finest : edge;
    line.add({to, at_begin, at_end, thin ? fine_pack : s.coarsest, 1});
    from = to;
  }
}

}  // namespace

Lines lines_of(const cases::Case& c, const Layout& layout, double water_line,
               const Spacing& spacing) {
  Spacing s = spacing;
  s.coarsest = std::min(s.coarsest, s.most_aspect * s.finest);
  std::vector<double> x_faces;
  std::vector<double> z_faces;
  double thick_x = 0;
  double thick_z = 0;
  for (const auto& pack : layout.packs) {
    x_faces.insert(x_faces.end(), {pack.x0, pack.x1});
    z_faces.insert(z_faces.end(), {pack.z0, pack.z1});
    const auto& coolant = c.coolants[static_cast<std::size_t>(pack.coolant)];
    (coolant.place == cases::Place::sides ? thick_x : thick_z) =
        std::max(coolant.place == cases::Place::sides ? thick_x : thick_z, coolant.thickness);
  }
  if (water_line > 0) z_faces.push_back(water_line);
  Line x(0, s);
  add_inside(x, layout.half_width, x_faces, false, thick_x, s);
  add_wall(x, c.box.sides, true, s);
  Line z(-thickness_of(c.box.base), s);
  add_wall(z, c.box.base, false, s);
  // Exactly 0 at the floor, whatever the layers sum to.
  std::vector<double> below = z.values();
  below.pop_back();
  Line above(0, s);
  add_inside(above, layout.height, z_faces, true, thick_z, s);
  add_wall(above, c.box.lid, true, s);
  below.insert(below.end(), above.values().begin(), above.values().end());
  return {x.values(), below};
}

}  // namespace thawline::mesh::section
