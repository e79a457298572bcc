#include "solver/heat/half_resistance.hpp"

namespace thawline::solver {

PhaseResistances::PhaseResistances(const mesh::Network& network) : properties_(network.materials) {
  materials_.resize(properties_.size());
  for (std::size_t m = 0; m < properties_.size(); ++m) {
    const auto& material = properties_[m].material;
    if (material.conductivity_solid.rows.size() > 1) continue;
    if (material.melts() && material.conductivity_liquid.rows.size() > 1) continue;
    materials_[m] = phases(m, 0, 0.5);
    materials_[m].fixed = true;
  }
}

PhaseResistances::Phases PhaseResistances::phases(std::size_t material, double temperature,
                                                  double fraction) const {
  const auto& m = properties_[material];
  const auto solid = [&] { return 1 / m.material.conductivity_solid.at(temperature); };
  const auto liquid = [&] {
    return 1 / (m.material.conductivity_liquid.at(temperature) * m.liquid_mixing);
  };
  // A phase that is not there is given the value of the other.
  if (!m.material.melts() || fraction <= 0) {
    const double all = solid();
    return {all, all};
  }
  if (fraction >= 1) {
    const double all = liquid();
    return {all, all};
  }
  return {solid(), liquid()};
}

HalfResistances PhaseResistances::of(int cell, FrontPlace place, const CellStates& cells) const {
  const auto i = static_cast<std::size_t>(cell);
  const double f = cells.fraction[i];
  const std::size_t material = cells.material(cell);
  const Phases& fixed = materials_[material];
  const Phases r = fixed.fixed ? fixed : phases(material, cells.temperature[i], f);
  if (!cells.curve(cell).melts()) return {0.5 * r.solid, 0.5 * r.solid, 0, 0};
  if (cells.curve(cell).is_sharp()) {
    return front_resistances(place, f, r.solid, r.liquid,
                             front_blend(cells.curve(cell).melting_enthalpy()));
  }
  // A mushy cell conducts as its phases side by side, k = (1 − f) k_solid + f k_liquid.
  const double k = (1 - f) / r.solid + f / r.liquid;
  const double by_fraction = -0.5 * (1 / r.liquid - 1 / r.solid) / (k * k);
  return {0.5 / k, 0.5 / k, by_fraction, by_fraction};
}

}  // namespace thawline::solver
