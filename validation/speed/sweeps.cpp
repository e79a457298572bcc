#include "speed/sweeps.hpp"

namespace thawline::validation {

namespace {

void set_thickness(cases::Wall& wall, double thickness) {
  for (auto& layer : wall) std::get<cases::SolidLayer>(layer).thickness = thickness;
}

/// `count` values from `from` to `to`, each put into a copy of the case.
std::vector<cases::Case> varied(const cases::Case& base, int count, double from, double to,
                                const auto& put) {
  std::vector<cases::Case> all(static_cast<std::size_t>(count), base);
  for (int i = 0; i < count; ++i) {
    put(all[static_cast<std::size_t>(i)], from + i * (to - from) / (count - 1));
  }
  return all;
}

}  // namespace

Sweep foam_sweep(const cases::Case& base, int count) {
  return {"foam of 20 to 60 mm", varied(base, count, 0.020, 0.060, [](auto& c, double thickness) {
            for (auto* wall : {&c.box.sides, &c.box.lid, &c.box.base}) {
              set_thickness(*wall, thickness);
            }
          })};
}

Sweep coolant_sweep(const cases::Case& base, int count) {
  return {"70 to 130 % of the gel", varied(base, count, 0.7, 1.3, [](auto& c, double share) {
            for (auto& coolant : c.coolants) coolant.mass *= share;
          })};
}

}  // namespace thawline::validation
