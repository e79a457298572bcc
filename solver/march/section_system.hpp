#pragma once

#include "solver/heat/heat_balance.hpp"
#include "solver/linear/conductance_system.hpp"

namespace thawline::solver {

/// Newton's linear system of a network with a section. Written for temperature changes,
///
///     (1/(s dT/dH) + K) δT = residual/s,
///
/// it is symmetric and positive definite; cells in an isothermal melt (dT/dH = 0) are held at δT =
/// 0 and their δH follows from the flows of their neighbours. K holds the conductances as they are:
/// how they change with a front is counted only in the cell's own row, so Newton's convergence is
/// linear where fronts move, and quadratic nowhere else it matters.
class SectionSystem {
 public:
  explicit SectionSystem(HeatBalance& balance, LinearMethod method = LinearMethod::by_size);

  /// Evaluates the balance and takes over the matrix for steps of `scale` (s); 0 holds every cell.
  void evaluate(const State& state, const Conditions& conditions, Rates& rates, double scale);

  /// Overwrites the residuals of cells (J) and hubs (W of surfaces, J of lumped hubs) by changes of
  /// enthalpy (J) and of temperature (K of surfaces, J of lumped hubs). False when it stalls.
  bool solve(Eigen::VectorXd& cells, Eigen::VectorXd& hubs, double tolerance);

  [[nodiscard]] double surface_conductance(int hub) const {
    return system_.conductance_sum(balance_.cells() + hub);
  }
  [[nodiscard]] const ConductanceSystem& linear() const { return system_; }

 private:
  HeatBalance& balance_;
  std::vector<std::pair<int, int>> pairs_;
  ConductanceSystem system_;
  std::vector<double> couplings_, diagonal_, b_, x_, flow_;
  std::vector<char> fixed_;
  double scale_ = 0;
};

}  // namespace thawline::solver
