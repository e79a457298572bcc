#include "solver/results/probes.hpp"

#include <algorithm>

namespace thawline::solver {

namespace {

double mean_of(const StepView& view, const mesh::Probe& probe, std::size_t begin, std::size_t end,
               double time) {
  double sum = 0;
  for (std::size_t i = begin; i < end; ++i) {
    const int cell = probe.cells[i];
    sum +=
        probe.weights[i] * view.balance->thermal_state(view.enthalpy(cell, time), cell).temperature;
  }
  return sum;
}

}  // namespace

double probe_temperature(const StepView& view, const mesh::Probe& probe, double time) {
  if (probe.cells.empty()) {
    const int cell = view.balance->network().hubs[static_cast<std::size_t>(probe.hub)].cell;
    if (cell < 0) return view.surface(probe.hub, time);
    return view.balance->thermal_state(view.enthalpy(cell, time), cell).temperature;
  }
  if (probe.of == mesh::Probe::Of::mean) return mean_of(view, probe, 0, probe.cells.size(), time);
  const bool warmest = probe.of == mesh::Probe::Of::warmest;
  double extreme = mean_of(view, probe, 0, probe.row_ends.front(), time);
  for (std::size_t r = 1; r < probe.row_ends.size(); ++r) {
    const double row = mean_of(view, probe, probe.row_ends[r - 1], probe.row_ends[r], time);
    extreme = warmest ? std::max(extreme, row) : std::min(extreme, row);
  }
  return extreme;
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
