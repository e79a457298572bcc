#include "solver/heat/cell_states.hpp"

#include <algorithm>

#include "solver/at.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

CellStates::CellStates(const mesh::Network& network) {
  for (const auto& material : network.materials) curves_.emplace_back(material.material);
  const std::size_t n = network.cells.size();
  const std::size_t unknowns = n + network.hubs.size();
  for (auto* values : {&temperature, &fraction, &fraction_slope}) values->assign(unknowns, 0.0);
  slope.assign(unknowns, 1);
  mixed.resize(n);
  piece_.resize(n);
  straight_.resize(n);
  zero_.resize(n);
  for (const auto& cell : network.cells) {
    material_.push_back(at(cell.material));
    mass_.push_back(cell.volume * network.materials[at(cell.material)].material.density);
  }
  for (int i = 0; i < cells(); ++i) {
    straight_[at(i)] = curve(i).is_straight() ? 1 : 0;
    if (!is_straight(i)) continue;
    const ThermalState s = curve(i).at(0);
    zero_[at(i)] = s.temperature;
    slope[at(i)] = s.slope / mass(i);
    fraction[at(i)] = s.liquid_fraction;
  }
}

void CellStates::update(const State& state) {
  for_all(cells(), [&](int i) {
    if (is_straight(i)) {
      temperature[at(i)] = zero_[at(i)] + slope[at(i)] * state.enthalpy[i];
      return;
    }
    const double m = mass(i);
    const double h = state.enthalpy[i] / m;
    const MixedCell& cell = mixed[at(i)];
    const ThermalState s = cell.holds(h) ? cell.at(h) : curve(i).at(h, piece_[at(i)]);
    temperature[at(i)] = s.temperature;
    slope[at(i)] = s.slope / m;
    fraction[at(i)] = s.liquid_fraction;
    fraction_slope[at(i)] = s.fraction_slope / m;
  });
  std::copy(state.surface.begin(), state.surface.end(), temperature.begin() + cells());
}

}  // namespace thawline::solver
