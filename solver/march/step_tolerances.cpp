#include "solver/march/step_tolerances.hpp"

#include <algorithm>

namespace thawline::solver {

StepTolerances tolerances_for(const mesh::Network& network, double step) {
  constexpr double widest = 40;  // K
  if (network.grid.count > 0) {
    // Small cells come and go through the melt all the time: a front comes to many of them at once,
    // some cell meets a kink in most steps, so that shorter ones are rejected less often, and the
    // matrix does not know how resistances change, so that more iterations with moving fronts gain
    // little.
    return {step, 5e-2 * step, widest, 2, 0.8};
  }
  // Newton stops when every cell and surface is within a thousandth of the step tolerance at an
  // accuracy of 0.01 K, so that no cell leaves the range of its surroundings by more than a
  // microkelvin; in proportion more at rougher ones, up to a fiftieth.
  constexpr double fine = 5e-4;  // K
  const double newton_share = 1e-3 * std::clamp(step / fine, 1.0, 20.0);
  // 4 K at an accuracy of 0.05 K, so that a cell of ice may err by 0.06 % of its melting in a step;
  // in proportion more at rougher ones, whose hold times would suffer.
  constexpr double usual = 0.05 / 20;  // K
  const double melting_range = std::clamp(4 * step / usual, 4.0, widest);
  // Where a front comes and goes at a face it does not settle in more iterations either.
  return {step, step * newton_share, melting_range, 3, 0.9};
}

}  // namespace thawline::solver
