#pragma once

#include <iostream>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/material.hpp"
#include "solver/march/march.hpp"

/// What the validation programs share: materials read from JSON, and a march that is looked at.
namespace thawline::validation {

using nlohmann::json;

inline cases::Property constant(double value) { return {{{0, value}}, "validation"}; }

/// {"k": W/m/K, "rho": kg/m3, "c": J/kg/K}, and for one that melts also "k_liquid", "c_liquid",
/// "melts_at" (K) and "latent" (J/kg). With "water" (mass fraction that freezes) melting is that of
/// a dilute solution below "melts_at", down to −40 °C.
inline cases::Material material_from(const json& j) {
  cases::Material m;
  m.name = "validation";
  m.density = m.density_liquid = j.at("rho");
  m.heat_capacity_solid = constant(j.at("c"));
  m.heat_capacity_liquid = constant(j.value("c_liquid", j.at("c").get<double>()));
  m.conductivity_solid = constant(j.at("k"));
  m.conductivity_liquid = constant(j.value("k_liquid", j.at("k").get<double>()));
  if (j.contains("water")) {
    m.melting = cases::DiluteMelting{j.at("melts_at"), j.at("water"), j.at("latent"), 233.15};
    return m;
  }
  if (j.contains("melts_at")) m.melting = cases::SharpMelting{j.at("melts_at"), j.at("latent")};
  return m;
}

/// {"constant": K} or {"time": [s], "temperature": [K]}.
inline cases::Air air_from(const json& j) {
  if (j.contains("constant")) return cases::ConstantAir{j.at("constant")};
  cases::Trace trace;
  trace.time = j.at("time").get<std::vector<double>>();
  trace.temperature = j.at("temperature").get<std::vector<double>>();
  return trace;
}

/// Keeps state and rates at wanted instants, which the schedule must hold as events.
class Snapshots : public solver::Watcher {
 public:
  explicit Snapshots(std::vector<double> times) : times_(std::move(times)) {}
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    for (const double time : times_) {
      if (view.end == time) shots.push_back(shot(view));
    }
  }
  json shots = json::array();

 private:
  static json shot(const solver::StepView& view) {
    json j{{"time", view.end}};
    std::vector<double> temperature;
    std::vector<double> fraction;
    std::vector<double> rate;
    for (int i = 0; i < view.balance->cells(); ++i) {
      const auto state = view.balance->thermal_state(*view.to, i);
      temperature.push_back(state.temperature);
      fraction.push_back(state.liquid_fraction);
      rate.push_back(view.to_rates->cells[i]);
    }
    j["temperature"] = temperature;
    j["liquid_fraction"] = fraction;
    j["rate"] = rate;
    j["surface"] = std::vector<double>(view.to->surface.begin(), view.to->surface.end());
    j["heat"] = std::vector<double>(view.heat_after->begin(), view.heat_after->end());
    j["power"] = std::vector<double>(view.to_rates->paths.begin(), view.to_rates->paths.end());
    return j;
  }
  std::vector<double> times_;
};

/// A schedule that lands on the wanted instants (s, increasing); the ground keeps its temperature.
inline solver::Schedule schedule_through(const std::vector<double>& times, const cases::Air& air,
                                         double ground) {
  solver::Schedule schedule;
  schedule.air = air;
  schedule.ground_follows_air = false;
  schedule.ground = ground;
  schedule.duration = times.back();
  for (const double time : times) schedule.events.push_back({time, -1, false, -1});
  return schedule;
}

/// Marches through the wanted instants (s, increasing) and returns what was seen.
inline json march_through(const mesh::Network& network, const cases::Air& air, double ground,
                          const std::vector<double>& times, double accuracy) {
  solver::HeatBalance balance(network);
  solver::MarchOptions options;
  options.accuracy = accuracy;
  options.longest_step = times.back();
  Snapshots snapshots(times);
  const auto summary =
      solver::march(balance, schedule_through(times, air, ground), options, snapshots);
  return {{"completed", summary.completed},
          {"why", summary.stop_reason},
          {"closure", summary.closure},
          {"steps", summary.steps},
          {"shots", snapshots.shots}};
}

}  // namespace thawline::validation
