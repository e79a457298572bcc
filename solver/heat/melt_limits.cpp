#include "solver/heat/melt_limits.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/at.hpp"

namespace thawline::solver {

namespace {

/// Specific enthalpy from which and up to which a cell melts, with a front in it where the melt is
/// sharp, J/kg.
EnthalpySpan melt_of(const CellStates& cells, int cell) {
  const MixedCell& mixed = cells.mixed[at(cell)];
  if (mixed.is_placed()) return mixed.span();
  return {cells.curve(cell).solid_until(), cells.curve(cell).liquid_from()};
}

}  // namespace

double held_in_curved_melt(const CellStates& cells, int cell, double from, double to) {
  const double m = cells.mass(cell);
  const EnthalpyCurve& curve = cells.curve(cell);
  const MixedCell& mixed = cells.mixed[at(cell)];
  const bool has_front = mixed.holds(from / m);
  if (cells.slope[at(cell)] > 0 && !has_front) {
    if (!curve.melts() || curve.is_sharp()) return to;
    // Over a kink the change of temperature and that of enthalpy part: the smaller step is taken.
    const double temperature = cells.temperature[at(cell)] + cells.slope[at(cell)] * (to - from);
    const double by_temperature = m * curve.enthalpy_at(temperature);
    return std::abs(by_temperature - from) < std::abs(to - from) ? by_temperature : to;
  }
  const EnthalpySpan span = has_front ? mixed.span() : curve.isothermal_span(from / m);
  // Just past the end, so that the next iteration sees the branch beyond it.
  constexpr double past = 1e-3;  // J/kg
  return std::clamp(to, m * (span.from - past), m * (span.to + past));
}

double stopped_at_melt(const CellStates& cells, int cell, double from, double to) {
  if (!cells.curve(cell).is_sharp()) return held_in_melt(cells, cell, from, to);
  constexpr double inside = 1e-3;  // J/kg
  const double m = cells.mass(cell);
  const EnthalpySpan span = melt_of(cells, cell);
  if (from < m * span.from) return std::min(to, m * (span.from + inside));
  if (from > m * span.to) return std::max(to, m * (span.to - inside));
  return held_in_melt(cells, cell, from, to);
}

double time_to_kink(const CellStates& cells, int cell, double enthalpy, double watt) {
  constexpr double never = std::numeric_limits<double>::infinity();
  if (!cells.curve(cell).melts() || watt == 0) return never;
  const EnthalpySpan span = melt_of(cells, cell);
  const double missing_to_start = cells.mass(cell) * span.from - enthalpy;
  const double missing_to_end = cells.mass(cell) * span.to - enthalpy;
  const double near = watt > 0 ? missing_to_start : missing_to_end;
  const double beyond = watt > 0 ? missing_to_end : missing_to_start;
  if (near / watt > 0) return near / watt;
  return beyond / watt > 0 ? beyond / watt : never;
}

}  // namespace thawline::solver
