#include "mesh/breadth.hpp"

#include <limits>

#include "mesh/shape_factor.hpp"

namespace thawline::mesh {

double across(const Breadth& breadth, double x0, double x1) {
  if (x0 < breadth.wall && x1 > breadth.wall) {
    return across(breadth, x0, breadth.wall) + across(breadth, breadth.wall, x1);
  }
  const double begin = breadth.at(x0);
  if (begin <= 0) return std::numeric_limits<double>::infinity();
  return shape_between(begin, (breadth.at(x1) - begin) / (x1 - x0), 0, x1 - x0);
}

}  // namespace thawline::mesh
