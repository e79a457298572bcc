#pragma once

#include <functional>
#include <string>

#include "cases/plan.hpp"

namespace thawline::solver::batch {

/// What a run with one value of the sought quantity came to.
struct Look {
  double value = 0;     ///< in the unit of the range
  double held = 0;      ///< s the limit held, up to the end of the run at most
  bool beyond = false;  ///< it still held at the end
  bool within = false;  ///< it was met at all
  std::string failure;  ///< why there is no answer; empty when there is one

  [[nodiscard]] bool failed() const { return !failure.empty(); }
};

/// How a search ended.
enum class Ending {
  found,      ///< the hold time goes through the wanted one
  jump,       ///< it jumps across the wanted one
  too_short,  ///< it stays below in all of the range
  too_long,   ///< it stays above
  failed,     ///< no case in the range could be computed
};

/// What a search found. `at` holds for as long as wanted (`found`, `jump`), for as long as any
/// (`too_short`) or as short as any (`too_long`).
struct Found {
  Ending ending = Ending::failed;
  Look at;
  /// `found`, `jump`: no farther than asked from `at`, and does not hold or fails; `at` itself
  /// where that holds to the dot.
  Look beside;
  Look from, to;  ///< at the ends of the range
  Look edge;      ///< the last value before cases fail, and why they do; not failed where none do
  int crossings = 0;  ///< how often the hold time was seen to pass the wanted one
  int looks = 0;      ///< how many runs it took
};

/// Searches a range for the value that holds for the wanted time: nine evenly spaced looks, then
/// Boost.Math's TOMS 748 between the first two neighbours from `from` on of which one holds and one
/// does not. Where all are alike, the edge of what can be computed is looked at as well, and the
/// peak or dip near the best of them (Boost.Math's Brent minimisation). A hold time is
/// said to jump when it changes by more than 1 % of the wanted one over the last bracket, and that
/// more than 20 times as steeply as over the first.
[[nodiscard]] Found find_value(const cases::Sought& sought,
                               const std::function<Look(double)>& look);

}  // namespace thawline::solver::batch
