#pragma once

#include <boost/math/tools/toms748_solve.hpp>
#include <cstdint>

namespace thawline::solver {

/// The instant in [begin, end] at which `value(time)` changes sign, found by bracketing (Boost.Math
/// TOMS 748); `end` when the signs at both ends are alike.
template <typename Function>
[[nodiscard]] double crossing(const Function& value, double begin, double end) {
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
