#include "speed/lane_curves.hpp"

#include <numeric>

namespace thawline::validation {

namespace {

std::size_t piece_of(const solver::EnthalpyCurve& curve, double enthalpy) {
  std::size_t piece = 0;
  (void)curve.at(enthalpy, piece);
  return piece;
}

}  // namespace

CurveTable table_of(const solver::EnthalpyCurve& curve) {
  constexpr double coldest = 20, warmest = 1000;  // K, where curves begin and end
  const double top = curve.enthalpy_at(warmest);
  CurveTable table;
  for (double knot = curve.enthalpy_at(coldest);;) {
    table.knots.push_back(knot);
    table.pieces.push_back(curve.at(knot));
    const std::size_t piece = piece_of(curve, knot);
    double inside = knot;
    double beyond = top;
    if (piece_of(curve, beyond) == piece) break;
    for (double middle = std::midpoint(inside, beyond); inside < middle && middle < beyond;
         middle = std::midpoint(inside, beyond)) {
      (piece_of(curve, middle) > piece ? beyond : inside) = middle;
    }
    knot = beyond;
  }
  table.knots.push_back(std::numeric_limits<double>::infinity());
  return table;
}

}  // namespace thawline::validation
