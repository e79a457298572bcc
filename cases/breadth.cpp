#include "cases/breadth.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace thawline::cases {

double Breadth::at(double x) const {
  const double inside = std::min(x, wall);
  return at_middle + slope * inside + slope_in_wall * std::max(0.0, x - wall);
}

double Breadth::area(double x0, double x1) const {
  if (x0 < wall && x1 > wall) return area(x0, wall) + area(wall, x1);
  return (at(x0) + at(x1)) / 2 * (x1 - x0);
}

Breadth breadth_of_rectangle(double length, double width, double slope_in_wall) {
  const double shorter = std::min(length, width);
  return {2 * std::abs(length - width), 8, slope_in_wall, shorter / 2};
}

Breadth breadth_of_round() { return {0, 2 * std::numbers::pi}; }

Breadth breadth_inside(const Box& box) {
  const auto* r = std::get_if<RectangularInside>(&box.inside);
  return r != nullptr ? breadth_of_rectangle(r->length, r->width, 0) : breadth_of_round();
}

double half_width(const Box& box) {
  if (const auto* r = std::get_if<RectangularInside>(&box.inside)) {
    return std::min(r->length, r->width) / 2;
  }
  return std::get<RoundInside>(box.inside).diameter / 2;
}

double x_of_area(const Breadth& breadth, double area) {
  const double b = breadth.at_middle;
  if (area <= 0) return 0;
  // (slope/2) x² + b x = area, in the form that does not cancel.
  return 2 * area / (b + std::sqrt(b * b + 2 * breadth.slope * area));
}

}  // namespace thawline::cases
