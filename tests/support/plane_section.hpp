#pragma once

#include <cmath>
#include <functional>
#include <numeric>
#include <string>

#include "mesh/section/grid_plan.hpp"
#include "mesh/section/spacing.hpp"
#include "support/one_column.hpp"

/// Small sections for the tests: one material or several on a grid of given lines, surfaces joined
/// to the air or the ground.
namespace thawline::test {

/// `parts` equal parts of [from, to], appended to `lines`.
inline void add_even(std::vector<double>& lines, double to, int parts) {
  const double from = lines.back();
  for (int i = 1; i <= parts; ++i) lines.push_back(from + (to - from) * i / parts);
}

/// Widths from `at_begin` to `at_end`, growing by `growth`, appended up to `to`.
inline void add_graded(std::vector<double>& lines, double to, double at_begin, double at_end,
                       double growth) {
  const double from = lines.back();
  double done = 0;
  const auto widths =
      mesh::section::graded_widths(to - from, at_begin, at_end, growth, to - from, 1);
  for (std::size_t i = 0; i + 1 < widths.size(); ++i) lines.push_back(from + (done += widths[i]));
  lines.push_back(to);
}

/// What a surface meets: the outside `where` through `coefficient` (W/m2/K); none: insulated.
struct Border {
  mesh::Outside where = mesh::Outside::none;
  double coefficient = 0;
};

struct PlaneSection {
  mesh::section::GridPlan plan;
  std::vector<cases::Material> materials;
  /// Index of the material at a place, −1 for nothing there.
  std::function<int(double, double)> material = [](double, double) { return 0; };
  std::function<Border(const mesh::section::GridSurface&)> border;
  double start = zero_celsius;

  /// Paths: 0 the ground, 1 the air.
  [[nodiscard]] mesh::Network build() {
    mesh::Network network;
    mesh::NetworkBuilder builder(network, {});
    network.paths = {"ground", "air"};
    network.parts = {"section"};
    for (const auto& m : materials) (void)builder.add_material(m, 1);
    for (int k = 0; k < plan.rows(); ++k) {
      for (int i = 0; i < plan.columns(); ++i) {
        const auto at = [](const std::vector<double>& v, int j) {
          return (v[static_cast<std::size_t>(j)] + v[static_cast<std::size_t>(j) + 1]) / 2;
        };
        const int m = material(at(plan.x, i), at(plan.z, k));
        plan.fill.push_back({m < 0 ? -1 : 0, m, 0, -1, {start, -1}});
      }
    }
    for (const auto& surface : mesh::section::add_grid(plan, network, builder)) {
      const Border b = border(surface);
      if (b.where == mesh::Outside::none) continue;
      builder.add(builder.to_outside(surface.hub, b.where, mesh::Law::conductance,
                                     surface.area * b.coefficient,
                                     b.where == mesh::Outside::ground ? 0 : 1));
    }
    builder.finish();
    return network;
  }
};

/// A section of unit area, one cell across and `cells` high: the slab of `slab` with one layer.
inline PlaneSection one_across(const cases::Material& material, double thickness, int cells,
                               double start, double inner_coefficient, double outer_coefficient) {
  PlaneSection s;
  s.materials = {material};
  s.start = start;
  s.plan.open = {false, false, true, true};
  s.plan.breadth = {1};
  s.plan.x = {0, 1};
  s.plan.z = {0};
  add_even(s.plan.z, thickness, cells);
  s.border = [=](const mesh::section::GridSurface& surface) -> Border {
    return surface.low ? Border{mesh::Outside::ground, inner_coefficient}
                       : Border{mesh::Outside::air, outer_coefficient};
  };
  return s;
}

}  // namespace thawline::test
