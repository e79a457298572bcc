#include "solver/results/probes.hpp"

namespace thawline::solver {

double probe_temperature(const StepView& view, const mesh::Probe& probe, double time) {
  if (probe.cells.empty()) {
    const int cell = view.balance->network().hubs[static_cast<std::size_t>(probe.hub)].cell;
    if (cell < 0) return view.surface(probe.hub, time);
    return view.balance->thermal_state(view.enthalpy(cell, time), cell).temperature;
  }
  double sum = 0;
  for (std::size_t i = 0; i < probe.cells.size(); ++i) {
    const int cell = probe.cells[i];
    sum +=
        probe.weights[i] * view.balance->thermal_state(view.enthalpy(cell, time), cell).temperature;
  }
  return sum;
}

double item_liquid_fraction(const StepView& view, const mesh::Item& item, int index, double time) {
  const HeatBalance& balance = *view.balance;
  if (!balance.present(index) || !balance.curve(item.cells.front()).melts()) return -1;
  double sum = 0;
  double mass = 0;
  for (const int cell : item.cells) {
    const double m = balance.mass(cell);
    sum += m * balance.thermal_state(view.enthalpy(cell, time), cell).liquid_fraction;
    mass += m;
  }
  return sum / mass;
}

}  // namespace thawline::solver
