#pragma once

#include <span>
#include <vector>

#include "cases/case.hpp"

/// Several cases in lockstep: what it would take to march them in lanes of one register.
namespace thawline::validation {

struct TakenStep {
  double begin = 0, end = 0;  ///< s
};

struct LockstepMarch {
  bool completed = false;
  std::vector<TakenStep> steps;
  int attempts = 0;
  long iterations = 0;  ///< all that were made, of rejected attempts too
};

/// Marches cases with one step for all, controlled as the library's march is by the largest error
/// of any. An attempt takes as many iterations as the member that needs most; it is rejected when
/// one member's is. A group of one takes the steps that the library's march takes. Cases without
/// events only; throws std::invalid_argument else.
[[nodiscard]] LockstepMarch march_in_lockstep(std::span<const cases::Case> group);

/// The steps a lockstep takes at least, by those its members took alone: at each time the shortest
/// that any member took then.
[[nodiscard]] int least_steps(std::span<const LockstepMarch> alone);

}  // namespace thawline::validation
