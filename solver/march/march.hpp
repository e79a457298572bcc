#pragma once

#include <string>

#include "solver/march/step.hpp"

namespace thawline::solver {

/// One accepted step, for those who watch the march. Between its ends enthalpies and path heats are
/// the parabolas through both ends that have the rate of the last, surfaces are linear. The rate of
/// the first is no use there: in a stiff cell that has just left its melt it dies out at once, and
/// a curve that follows it overshoots. What is stored and what came in along all paths agree at
/// every instant.
struct StepView {
  double begin = 0, end = 0;  ///< s
  const HeatBalance* balance = nullptr;
  const State* from = nullptr;
  const State* to = nullptr;
  const Rates* from_rates = nullptr;
  const Rates* to_rates = nullptr;
  const Eigen::VectorXd* heat_before = nullptr;  ///< J by path up to `begin`
  const Eigen::VectorXd* heat_after = nullptr;
  double moved = 0;       ///< J put in (positive) or taken out with items so far
  Conditions conditions;  ///< at `end`

  [[nodiscard]] double enthalpy(int cell, double time) const;
  [[nodiscard]] double surface(int hub, double time) const;
  [[nodiscard]] double heat(int path, double time) const;
};

/// Watches the march: called at the start, after every step and after every event.
class Watcher {
 public:
  Watcher() = default;
  Watcher(const Watcher&) = delete;
  Watcher& operator=(const Watcher&) = delete;
  Watcher(Watcher&&) = delete;
  Watcher& operator=(Watcher&&) = delete;
  virtual ~Watcher() = default;
  /// A view of no length at the start and after each event (begin = end).
  virtual void at_instant(const StepView& view) = 0;
  virtual void after_step(const StepView& view) = 0;
};

/// How fine a march is. Values that keep their inequality are allowed; `fault_of` tells.
struct MarchOptions {
  /// K, > 0: the local error allowed a step is `accuracy` / 20.
  double accuracy = 0.05;
  /// s, > 0; may be infinite.
  double longest_step = 3600;
  /// s, ≥ 0: length of every step, without step control (for convergence tests); 0 leaves it on.
  double fixed_step = 0;
  /// ≥ 1. A march that attempts so many steps without coming a ten-thousandth of its duration
  /// further stops: at that pace the whole would take 50 million attempts.
  int patience = 5000;
};

/// One sentence that names the first option outside its inequality, its value and what it must be;
/// empty when all are allowed.
[[nodiscard]] std::string fault_of(const MarchOptions& options);

/// How a march ended, and what it took.
struct Summary {
  bool completed = false;
  std::string stop_reason;
  double stopped_at = 0;  ///< s
  int steps = 0, rejected = 0, newton_iterations = 0;
  long linear_iterations = 0;  ///< of conjugate gradients; 0 where systems are factored
  double worst_residual = 0;   ///< K
  double stored = 0;           ///< J, change of enthalpy less what was moved
  double heat_in = 0;          ///< J, over all paths
  double heat_exchanged = 0;   ///< J, Σ |heat| of paths and of items
  double closure = 0;          ///< |heat_in − stored| / heat_exchanged
};

/// Runs the balance from its start to the end of the schedule. Never throws for numerics: a march
/// that cannot go on says why in the summary, and so does one with options that are not allowed,
/// which takes no step and shows the watcher nothing.
[[nodiscard]] Summary march(HeatBalance& balance, const Schedule& schedule,
                            const MarchOptions& options, Watcher& watcher);

}  // namespace thawline::solver
