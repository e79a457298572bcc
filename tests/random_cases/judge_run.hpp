#pragma once

#include <string>

#include "cases/case.hpp"

namespace thawline::random_cases {

/// Temperatures may leave the range put in by this much, K.
inline constexpr double allowed_outside = 0.1;
/// Heat that does not add up, as a share of the heat exchanged and, for cases that exchange next to
/// none, in joules: the round-off of enthalpies of up to 1e8 J over thousands of steps.
inline constexpr double allowed_closure = 1e-9;
inline constexpr double closure_floor = 1e-5;

/// What a run took and how far it strayed.
struct Judgement {
  bool refused = false;  ///< by the reader or the mesh, for the reason in `problem`
  std::string problem;   ///< what is wrong; empty when nothing is
  int cells = 0, steps = 0, rejected = 0, newton_iterations = 0;
  double outside = 0;     ///< K, farthest outside the range of temperatures put in
  double unbalanced = 0;  ///< J
  double exchanged = 0;   ///< J
};

/// Runs a case through the library and judges every step: each cell and surface within the range
/// of temperatures put in (starts, air, ground), all answers finite, energy closed. A run of more
/// than `most_steps` steps is stopped.
[[nodiscard]] Judgement judge_run(const cases::Case& c, int most_steps);

}  // namespace thawline::random_cases
