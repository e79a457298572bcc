#pragma once

#include <string>
#include <utility>
#include <vector>

#include "cases/case.hpp"
#include "mesh/network.hpp"

namespace thawline::solver {

/// A closed-form first guess of when the coolant is spent.
struct Estimate {
  double conductance = 0;  ///< W/K, walls with ISO 6946 films (0.13 and 0.04 m2K/W) and gasket
  std::vector<std::pair<std::string, double>> by_path;  ///< the same by wall and gasket, W/K
  double frozen_energy = 0;   ///< J, all coolants from their start until all is liquid
  double payload_energy = 0;  ///< J, to cool the payloads to the melting point
  double melting_point = 0;   ///< K, mass-weighted over the coolants
  double ambient = 0;         ///< K, mean over the run
  double spent_after = -1;    ///< s; −1 when the ambient is no warmer than the melting point
};

/// t = (E_coolant − E_payload)/(UA (T_ambient − T_melt)): steady walls, perfect mixing.
[[nodiscard]] Estimate estimate(const cases::Case& c, const mesh::Network& network);

/// J a coolant takes up from its start until all of it is liquid.
[[nodiscard]] double frozen_energy(const cases::Coolant& coolant);

}  // namespace thawline::solver
