#pragma once

#include <memory>

#include "solver/heat/heat_balance.hpp"
#include "solver/linear/newton_system.hpp"
#include "solver/march/outside.hpp"
#include "solver/march/step_tolerances.hpp"

namespace thawline::solver {

/// How one attempted step ended.
struct StepOutcome {
  bool converged = false;
  double error = 0;     ///< embedded error over the tolerance; ≤ 1 is accepted
  int iterations = 0;   ///< Newton iterations of both stages
  double residual = 0;  ///< worst residual at convergence, K
};

/// One step of TR-BDF2 (Bank et al. 1985; as an ESDIRK with embedded third-order error estimate,
/// Hosea & Shampine 1996): L-stable, second order. Each stage is F(H) = 0, solved by a damped
/// semismooth Newton iteration with the exact generalised Jacobian.
///
/// The new enthalpies are the old ones plus the stage heat flows, so energy is conserved to
/// round-off whatever the Newton residual. Allocates nothing after construction.
class Stepper {
 public:
  /// `tolerance`: local temperature error per step in K.
  Stepper(HeatBalance& balance, const Outside& outside, double tolerance);

  /// Tries a step of `dt` from `time`; reads `from` and `from_rates`, fills `to`, `to_rates` and
  /// `path_heat` (J that came in along each path during the step).
  StepOutcome attempt(double time, double dt, double open_air_changes, const State& from,
                      const Rates& from_rates, State& to, Rates& to_rates,
                      Eigen::VectorXd& path_heat);

  /// Moves surface temperatures until every surface is balanced, cells unchanged, and fills
  /// `rates`. False when that fails.
  bool balance_surfaces(const Conditions& conditions, State& state, Rates& rates);

  /// Places the fronts of `state`, the end of the last attempt, and fills `rates` with those of the
  /// next step's start, as the fronts stand now. They are taken where Newton left the last stage:
  /// `state` differs from that by the residual, which rates of stiff cells would magnify (Hosea &
  /// Shampine 1996).
  void move_fronts(const Conditions& conditions, const State& state, Rates& rates);

  /// The cell that kept the last attempt from being accepted: the one farthest from its balance
  /// where Newton did not converge, else the one with the largest error. −1 where that was no one
  /// cell (not a number, or a surface).
  [[nodiscard]] int limiting_cell(bool converged) const;

  /// How long a step from `from` should be that was to take `dt` seconds: no longer than to just
  /// past the first end of a melt which a step of `dt` would overshoot by more than its error
  /// allows. Foretold by the `rates` at its start. Looked at are cells that melt at one
  /// temperature, and those that a probe shows: no curve between a step's ends would show how they
  /// leave their melt.
  [[nodiscard]] double shortened_to_kink(const State& from, const Rates& rates, double dt) const;

  /// Sum of everything in `state` that is in the box, J.
  [[nodiscard]] double stored(const State& state) const;

  [[nodiscard]] const StepTolerances& tolerances() const { return tolerances_; }
  /// Of conjugate gradients so far.
  [[nodiscard]] long linear_iterations() const { return system_->iterations(); }

 private:
  /// `act(cell)` for the cells of columns and the lumped ones.
  template <class Act>
  void for_cells_beside_grid(const Act& act) const;
  /// Solves M (y − base) − scale rates(y) = 0 from the guess in `y`.
  StepOutcome solve_stage(const Conditions& conditions, double scale, State& y, Rates& rates);
  StepOutcome iterate(const Conditions& conditions, double scale, State& y, Rates& rates);
  double residual_size(double scale, const State& y, const Rates& rates);
  void newton_update(State& y, double share, bool stop_at_melt);
  void count_bands_by_volume();
  [[nodiscard]] bool is_melting(int cell) const;
  [[nodiscard]] double grid_size(const Eigen::VectorXd& heat);
  [[nodiscard]] double error_size(double dt, const Rates& r1, const Rates& r2, const Rates& r3);

  HeatBalance& balance_;
  const Outside& outside_;
  StepTolerances tolerances_;
  std::unique_ptr<NewtonSystem> system_;
  Eigen::VectorXd base_;
  Eigen::VectorXd residual_weight_;  ///< 1/J, turns an enthalpy error into shares of Newton's bar
  /// 1/J, into shares of the tolerance, melting heat spread over some kelvin.
  Eigen::VectorXd error_weight_;
  Eigen::VectorXd pure_weight_;        ///< the same of a shown cell that does not melt
  std::vector<bool> shown_;            ///< by cell, whether a probe shows it alone
  std::vector<int> kinked_;            ///< cells beside the grid for which steps are shortened
  Eigen::VectorXd change_, residual_;  ///< by unknown
  std::vector<int> grid_part_;         ///< by cell of the grid
  std::vector<double> part_capacity_;  ///< of its grid cells, in shares of the tolerance
  std::vector<double> part_error_, block_size_;  ///< by block of cells
  State middle_;
  State end_;  ///< of the last stage, as Newton left it
  Rates middle_rates_;
};

}  // namespace thawline::solver
