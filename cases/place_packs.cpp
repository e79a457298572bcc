#include "cases/place_packs.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/alike_packs.hpp"
#include "cases/breadth.hpp"
#include "cases/input_error.hpp"

namespace thawline::cases {

namespace {

constexpr double slack = 1e-9;  // m

[[noreturn]] void refuse(const Case& c, const Coolant& pack, const std::string& why) {
  throw InputError(
      fmt::format("{}: coolant.{}: {} in the section of `detail: 2d`", c.file, pack.name, why),
      fmt::format("'{}' {} in a section", pack.name, why), Mistake::value);
}

class Placing {
 public:
  explicit Placing(const Case& c)
      : case_(c),
        breadth_(breadth_inside(c.box)),
        half_width_(cases::half_width(c.box)),
        height_(inside_height(c.box)) {}

  std::vector<PackPlace> place() {
    for (const Place place : {Place::floor, Place::lid, Place::sides}) {
      double taken = 0;
      for (std::size_t i = 0; i < case_.coolants.size(); ++i) {
        const auto& coolant = case_.coolants[i];
        if (coolant.form != CoolantForm::pack || coolant.place != place) continue;
        if (coolant.mass <= 0) continue;
        if (place == Place::sides) {
          stand(static_cast<int>(i));
        } else {
          lay(static_cast<int>(i), place == Place::lid, taken);
        }
      }
    }
    return packs_;
  }

 private:
  [[nodiscard]] const Coolant& coolant(int i) const {
    return case_.coolants[static_cast<std::size_t>(i)];
  }

  /// On the floor or under the lid, from `taken` (m) outward.
  void lay(int i, bool lid, double& taken) {
    const auto& pack = coolant(i);
    const double area = volume_of(pack) / pack.thickness;
    const double end = x_of_area(breadth_, breadth_.area(0, taken) + area);
    if (end > half_width_ + 1e-6 || pack.thickness > height_) {
      refuse(case_, pack, fmt::format("does not fit {}", lid ? "under the lid" : "on the floor"));
    }
    const double far = std::min(end, half_width_);
    const double z0 = lid ? height_ - pack.thickness : 0;
    add(i, {i, taken, far, z0, z0 + pack.thickness});
    taken = far;
  }

  /// Against the side wall, on what lies there already.
  void stand(int i) {
    const auto& pack = coolant(i);
    const double x0 = half_width_ - pack.thickness;
    if (x0 < 0) refuse(case_, pack, "is thicker than half the box");
    const double level = breadth_.area(x0, half_width_);
    double z0 = 0;
    for (const auto& other : packs_) {
      if (coolant(other.coolant).place != Place::lid && other.x1 > x0 + slack) {
        z0 = std::max(z0, other.z1);
      }
    }
    add(i, {i, x0, half_width_, z0, z0 + volume_of(pack) / level});
  }

  void add(int i, const PackPlace& place) {
    if (place.z1 > height_ + slack) refuse(case_, coolant(i), "reaches beyond the lid");
    for (const auto& other : packs_) {
      if (place.x0 < other.x1 - slack && other.x0 < place.x1 - slack &&
          place.z0 < other.z1 - slack && other.z0 < place.z1 - slack) {
        refuse(case_, coolant(i), fmt::format("runs into '{}'", coolant(other.coolant).name));
      }
    }
    packs_.push_back(place);
  }

  const Case& case_;
  Breadth breadth_;
  double half_width_, height_;
  std::vector<PackPlace> packs_;
};

}  // namespace

std::vector<PackPlace> place_packs(const Case& c) {
  const Case joined = with_bodies_joined(c, pack_bodies(c));
  return Placing(joined).place();
}

}  // namespace thawline::cases
