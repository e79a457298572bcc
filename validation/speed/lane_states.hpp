#pragma once

#include "cases/case.hpp"
#include "solver/heat/heat_balance.hpp"

namespace thawline::validation {

/// A case in the middle of its march, and the system of a Newton iteration there.
struct AmidMarch {
  solver::HeatBalance balance;
  solver::State state;
  solver::BorderedSystem system;
  Eigen::VectorXd cells, hubs;  ///< a right-hand side, J and W
};

/// The case at the end of the first step at or after `time` (s).
[[nodiscard]] AmidMarch amid_march(const cases::Case& c, double time);

}  // namespace thawline::validation
