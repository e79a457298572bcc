#pragma once

#include <vector>

namespace thawline::mesh::section {

/// Sizes of cells along one direction of a grid.
struct Spacing {
  double finest = 1.5e-3;    ///< m, at the faces of walls
  double coarsest = 10e-3;   ///< m
  double growth = 1.35;      ///< from one cell to the next
  double most_aspect = 100;  ///< coarsest over finest
};

/// Cell widths that fill `length`: `at_begin` and `at_end` wide at its ends, growing towards the
/// middle by `growth` up to `coarsest`, then all scaled to fit. At least `least` of them.
[[nodiscard]] std::vector<double> graded_widths(double length, double at_begin, double at_end,
                                                double growth, double coarsest, int least);

/// The spacing with every cell `refinement` times finer: n cells where one was, so the growth from
/// cell to cell is its n-th root.
[[nodiscard]] Spacing refined(const Spacing& spacing, double refinement);

}  // namespace thawline::mesh::section
