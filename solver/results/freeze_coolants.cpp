#include "solver/results/freeze_coolants.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "solver/march/march.hpp"

namespace thawline::solver {

namespace {

/// Cells of half the slab, m.
constexpr double cell = 0.5e-3;

/// Half a slab of 1 m2, its middle insulated, its face to the air of the freezer.
mesh::Network half_slab(const cases::Material& material, const cases::Freezing& freezing,
                        double liquid_mixing) {
  mesh::Network network;
  network.parts = {"slab"};
  network.paths = {"face"};
  network.materials = {{material, liquid_mixing}};
  network.hubs = {{"face", -1, -1}};
  const double half = freezing.thickness / 2;
  const int count = std::clamp(static_cast<int>(std::ceil(half / cell)), 20, 120);
  const double width = half / count;
  for (int i = 0; i < count; ++i) {
    mesh::Cell c;
    c.width = c.volume = width;
    c.depth = (i + 0.5) * width;
    c.inner_shape = c.outer_shape = width / 2;
    c.start = {freezing.from, -1};
    network.cells.push_back(c);
  }
  network.chain_cells = count;
  network.columns = {{"slab", 0, count, -1, 0, -1}};
  mesh::add_column_faces(network, network.columns.front());
  mesh::Link film;
  film.outside = mesh::Outside::air;
  film.conductance = freezing.coefficient;
  film.path = 0;
  network.links = {film};
  return network;
}

/// Means over all cells at the end of the last step.
class Means : public Watcher {
 public:
  void at_instant(const StepView& view) override { look(view); }
  void after_step(const StepView& view) override { look(view); }
  [[nodiscard]] const Frozen& means() const { return means_; }

 private:
  void look(const StepView& view) {
    const HeatBalance& balance = *view.balance;
    means_ = {};
    double mass = 0;
    for (int i = 0; i < balance.cells(); ++i) {
      const double enthalpy = view.enthalpy(i, view.end);
      const auto state = balance.thermal_state(enthalpy, i);
      means_.enthalpy += enthalpy;
      means_.liquid += balance.mass(i) * (balance.curve(i).melts() ? state.liquid_fraction : 1);
      means_.temperature += balance.mass(i) * state.temperature;
      mass += balance.mass(i);
    }
    means_.core = balance.thermal_state(view.enthalpy(0, view.end), 0).temperature;
    means_.enthalpy /= mass;
    means_.liquid /= mass;
    means_.temperature /= mass;
  }
  Frozen means_;
};

}  // namespace

Frozen frozen_after(const cases::Material& material, const cases::Freezing& freezing,
                    double liquid_mixing) {
  HeatBalance balance(half_slab(material, freezing, liquid_mixing));
  Schedule schedule;
  schedule.air = cases::ConstantAir{freezing.air};
  schedule.ground = freezing.air;
  schedule.duration = freezing.duration;
  Means means;
  const Summary summary = march(balance, schedule, {}, means);
  if (!summary.completed) {
    throw std::runtime_error("how the coolant freezes could not be computed: " +
                             summary.stop_reason);
  }
  return means.means();
}

void settle_start(cases::Coolant& coolant) {
  if (!coolant.freezing || coolant.freezing->settled) return;
  cases::Freezing& freezing = *coolant.freezing;
  const Frozen frozen = frozen_after(coolant.material, freezing, coolant.liquid_mixing);
  freezing.liquid = frozen.liquid;
  freezing.temperature = frozen.temperature;
  freezing.settled = true;
  const EnthalpyCurve curve(coolant.material);
  const ThermalState state = curve.at(frozen.enthalpy);
  coolant.start = state.temperature;
  const bool melting = curve.melts() && frozen.enthalpy > curve.solid_until() &&
                       frozen.enthalpy < curve.liquid_from();
  if (melting) coolant.start_liquid_fraction = state.liquid_fraction;
}

void settle_starts(cases::Case& c) {
  for (auto& coolant : c.coolants) {
    if (!coolant.freezing || coolant.freezing->settled) continue;
    settle_start(coolant);
    const cases::Freezing& f = *coolant.freezing;
    std::string notice = fmt::format("'{}' comes out of {:.1f} degC after {:.4g} h ", coolant.name,
                                     f.air - 273.15, f.duration / 3600);
    notice += coolant.material.melts() && f.liquid >= 0.005
                  ? fmt::format("still {:.0f} % liquid", 100 * f.liquid)
                  : fmt::format("at {:.1f} degC on average", f.temperature - 273.15);
    c.notices.push_back(notice);
  }
}

}  // namespace thawline::solver
