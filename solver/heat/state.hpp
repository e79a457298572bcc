#pragma once

#include <Eigen/Dense>

namespace thawline::solver {

/// What the outside and the user do at an instant.
struct Conditions {
  double air = 0;               ///< K
  double ground = 0;            ///< K
  double open_air_changes = 0;  ///< 1/s, 0 while the lid is shut
  double time = 0;              ///< s
  double since = 0;  ///< s, when the step began; a source jumps at the beginning of a step only
};

/// The unknowns: enthalpy of every cell (J, chain cells then lumped ones) and temperature of every
/// hub without a cell (K; entries of lumped hubs are not used).
struct State {
  Eigen::VectorXd enthalpy;
  Eigen::VectorXd surface;
};

/// Rates at a state: heating of cells (W), what is left over at surfaces (W, zero when balanced),
/// and the power coming in along each path (W).
struct Rates {
  Eigen::VectorXd cells;
  Eigen::VectorXd surfaces;
  Eigen::VectorXd paths;
};

}  // namespace thawline::solver
