#pragma once

#include "cases/breadth.hpp"

namespace thawline::mesh {

using cases::Breadth;
using cases::breadth_of_rectangle;
using cases::breadth_of_round;
using cases::x_of_area;

/// ∫dx/D from x0 to x1, 1: the shape of a slice of unit height for heat that crosses it. Infinite
/// from a place where D is 0.
[[nodiscard]] double across(const Breadth& breadth, double x0, double x1);

}  // namespace thawline::mesh
