#include "mesh/shape_factor.hpp"

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <stdexcept>

namespace thawline::mesh {

double edge_excess(double a, double b) {
  const double r = b / a;
  const double square = r * r;
  const double bend = 2 * std::log((square + 1) / (4 * r)) +
                      (square - 1) / r * std::acos((square - 1) / (square + 1));
  return 1 / r + bend / std::numbers::pi;
}

double shape_between(double area, double slope, double y0, double y1) {
  const double inner = area + slope * y0;
  const double u = slope * (y1 - y0) / inner;
  if (std::abs(u) < 1e-12) return (y1 - y0) / inner;
  return (y1 - y0) / inner * std::log1p(u) / u;
}

double resistance_between(double area, double slope, const std::vector<ConductingLayer>& layers) {
  double sum = 0;
  double y = 0;
  for (const auto& layer : layers) {
    sum += shape_between(area, slope, y, y + layer.thickness) / layer.conductivity;
    y += layer.thickness;
  }
  return sum;
}

double slope_for_excess(double area, double slope, const std::vector<ConductingLayer>& layers,
                        double excess) {
  if (excess <= 0) return 0;
  const double wanted = 1 / resistance_between(area, slope, layers) + excess;
  const auto miss = [&](double extra) {
    return 1 / resistance_between(area, slope + extra, layers) - wanted;
  };
  double high = 4 * area;
  while (miss(high) < 0) {
    high *= 2;
    if (high > 1e12) throw std::domain_error("no area law reaches this edge conductance");
  }
  std::uintmax_t iterations = 100;
  const auto bracket = boost::math::tools::toms748_solve(
      miss, 0.0, high, boost::math::tools::eps_tolerance<double>(52), iterations);
  return (bracket.first + bracket.second) / 2;
}

}  // namespace thawline::mesh
