#pragma once

#include <limits>

#include "cases/case.hpp"

namespace thawline::cases {

/// How broad a section is at a place x (m, from its middle line or axis outward): all that lies at
/// one distance from the nearest side wall, all round the box, is one cell of it. Linear inside the
/// box and, with another slope, in the wall:
///
///     D(x) = at_middle + slope x                     up to the wall,
///     D(x) = D(wall) + slope_in_wall (x − wall)      beyond.
///
/// A section of the same depth everywhere has only `at_middle`; a round one has slope 2π.
struct Breadth {
  double at_middle = 0;                                   ///< m
  double slope = 0;                                       ///< 1
  double slope_in_wall = 0;                               ///< 1
  double wall = std::numeric_limits<double>::infinity();  ///< m, where the wall begins

  [[nodiscard]] double at(double x) const;
  /// ∫D dx from x0 to x1, m2.
  [[nodiscard]] double area(double x0, double x1) const;
};

/// Of a rectangular box, inside length l ≥ width w: D(x) = 2 (l − w) + 8 x up to x = w/2. The
/// integral from the middle to the wall is l w, and D at the wall the perimeter 2 (l + w).
[[nodiscard]] Breadth breadth_of_rectangle(double length, double width, double slope_in_wall);

/// Of a round box: D(x) = 2π x.
[[nodiscard]] Breadth breadth_of_round();

/// Of a box, its walls left out: none of it is any broader beyond the inside.
[[nodiscard]] Breadth breadth_inside(const Box& box);

/// From the middle line or axis to the side wall, m.
[[nodiscard]] double half_width(const Box& box);

/// The x up to which the area from the middle is `area` (m2), inside the box.
[[nodiscard]] double x_of_area(const Breadth& breadth, double area);

}  // namespace thawline::cases
