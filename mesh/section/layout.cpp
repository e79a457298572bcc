#include "mesh/section/layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/input_error.hpp"
#include "mesh/shape_factor.hpp"

namespace thawline::mesh::section {

namespace {

using cases::Place;

constexpr double slack = 1e-9;  // m

[[noreturn]] void refuse(const cases::Case& c, const cases::Coolant& pack, const std::string& why) {
  throw cases::InputError(
      fmt::format("{}: coolant.{}: {} in the section of `detail: 2d`", c.file, pack.name, why));
}

/// Slope of the breadth in the side walls by which their four upright edges have their exact steady
/// conductance, 1 − 2 ln2/π per metre each (see edge_excess).
double upright_edge_slope(const cases::Box& box) {
  const double thickness = thickness_of(box.sides);
  return slope_for_excess(floor_perimeter(box), 0, thickness,
                          4 * edge_excess(thickness, thickness));
}

class Placing {
 public:
  explicit Placing(const cases::Case& c) : case_(c) {
    if (const auto* r = std::get_if<cases::RectangularInside>(&c.box.inside)) {
      layout_.half_width = std::min(r->length, r->width) / 2;
      layout_.breadth = breadth_of_rectangle(r->length, r->width, upright_edge_slope(c.box));
    } else {
      layout_.round = true;
      layout_.half_width = std::get<cases::RoundInside>(c.box.inside).diameter / 2;
      layout_.breadth = breadth_of_round();
    }
    layout_.height = inside_height(c.box);
  }

  Layout place() {
    for (const Place place : {Place::floor, Place::lid, Place::sides}) {
      double taken = 0;
      for (std::size_t i = 0; i < case_.coolants.size(); ++i) {
        const auto& coolant = case_.coolants[i];
        if (coolant.form != cases::CoolantForm::pack || coolant.place != place) continue;
        if (place == Place::sides) {
          stand(static_cast<int>(i));
        } else {
          lay(static_cast<int>(i), place == Place::lid, taken);
        }
      }
    }
    return layout_;
  }

 private:
  [[nodiscard]] const cases::Coolant& coolant(int i) const {
    return case_.coolants[static_cast<std::size_t>(i)];
  }

  /// On the floor or under the lid, from `taken` (m) outward.
  void lay(int i, bool lid, double& taken) {
    const auto& pack = coolant(i);
    const double area = volume_of(pack) / pack.thickness;
    const double end = x_of_area(layout_.breadth, layout_.breadth.area(0, taken) + area);
    if (end > layout_.half_width + 1e-6 || pack.thickness > layout_.height) {
      refuse(case_, pack, fmt::format("does not fit {}", lid ? "under the lid" : "on the floor"));
    }
    const double far = std::min(end, layout_.half_width);
    const double z0 = lid ? layout_.height - pack.thickness : 0;
    add(i, {i, taken, far, z0, z0 + pack.thickness});
    taken = far;
  }

  /// Against the side wall, on what lies there already.
  void stand(int i) {
    const auto& pack = coolant(i);
    const double x0 = layout_.half_width - pack.thickness;
    if (x0 < 0) refuse(case_, pack, "is thicker than half the box");
    const double level = layout_.breadth.area(x0, layout_.half_width);
    double z0 = 0;
    for (const auto& other : layout_.packs) {
      if (coolant(other.coolant).place != Place::lid && other.x1 > x0 + slack) {
        z0 = std::max(z0, other.z1);
      }
    }
    add(i, {i, x0, layout_.half_width, z0, z0 + volume_of(pack) / level});
  }

  void add(int i, const PackPlace& place) {
    if (place.z1 > layout_.height + slack) refuse(case_, coolant(i), "reaches beyond the lid");
    for (const auto& other : layout_.packs) {
      if (place.x0 < other.x1 - slack && other.x0 < place.x1 - slack &&
          place.z0 < other.z1 - slack && other.z0 < place.z1 - slack) {
        refuse(case_, coolant(i), fmt::format("runs into '{}'", coolant(other.coolant).name));
      }
    }
    layout_.packs.push_back(place);
  }

  const cases::Case& case_;
  Layout layout_;
};

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

Layout layout_of(const cases::Case& c) { return Placing(c).place(); }

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
