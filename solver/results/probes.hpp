#pragma once

#include "mesh/network.hpp"
#include "solver/march/march.hpp"

namespace thawline::solver {

/// Temperature (K) of a probe at `time` within a step.
[[nodiscard]] double probe_temperature(const StepView& view, const mesh::Probe& probe, double time);

/// Mass-weighted liquid fraction of an item at `time` within a step; −1 while it is absent or does
/// not melt.
[[nodiscard]] double item_liquid_fraction(const StepView& view, const mesh::Item& item, int index,
                                          double time);

/// Slowly changing property crossed zero: the instant in [begin, end] at which `value` does, found
/// by bracketing (Boost.Math TOMS 748) when its signs at the ends differ.
template <typename Function>
[[nodiscard]] double crossing(const Function& value, double begin, double end);

}  // namespace thawline::solver

#include <boost/math/tools/toms748_solve.hpp>
#include <cstdint>

namespace thawline::solver {

template <typename Function>
double crossing(const Function& value, double begin, double end) {
  const double at_begin = value(begin);
  const double at_end = value(end);
  if (at_begin == 0) return begin;
  if (at_end == 0 || at_begin * at_end > 0) return end;
  std::uintmax_t iterations = 60;
  const auto bracket =
      boost::math::tools::toms748_solve(value, begin, end, at_begin, at_end,
                                        boost::math::tools::eps_tolerance<double>(40), iterations);
  return (bracket.first + bracket.second) / 2;
}

}  // namespace thawline::solver
