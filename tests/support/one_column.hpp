#pragma once

#include <cmath>
#include <vector>

#include "mesh/network.hpp"
#include "solver/march/march.hpp"

/// Small networks and materials for the tests, built on the public data types.
namespace thawline::test {

inline constexpr double zero_celsius = 273.15;

inline cases::Property constant(double value) { return {{{0, value}}, "test"}; }

inline cases::Material plain_material(double conductivity, double density, double heat_capacity) {
  cases::Material m;
  m.name = "plain";
  m.density = m.density_liquid = density;
  m.heat_capacity_solid = m.heat_capacity_liquid = constant(heat_capacity);
  m.conductivity_solid = m.conductivity_liquid = constant(conductivity);
  return m;
}

/// Water ice with the rounded properties of the similarity solutions: k 2.2/0.57, c 2050/4200,
/// ρ 917, L 333.4 kJ/kg.
inline cases::Material rounded_ice() {
  cases::Material m = plain_material(2.2, 917, 2050);
  m.heat_capacity_liquid = constant(4200);
  m.conductivity_liquid = constant(0.57);
  m.melting = cases::SharpMelting{zero_celsius, 333.4e3};
  return m;
}

/// A slab of unit area: `layers` of (material, thickness, cells), inner face joined to the ground
/// temperature and outer face to the air temperature, each with the given W/m2/K.
struct Layer {
  cases::Material material;
  double thickness;
  int cells;
};

inline mesh::Network slab(const std::vector<Layer>& layers, double start, double inner_coefficient,
                          double outer_coefficient) {
  mesh::Network network;
  network.parts = {"slab"};
  network.paths = {"inner", "outer"};
  network.hubs = {{"inner face", -1, -1}, {"outer face", -1, -1}};
  double depth = 0;
  for (const auto& layer : layers) {
    network.materials.push_back({layer.material, 1});
    for (int i = 0; i < layer.cells; ++i) {
      mesh::Cell cell;
      cell.material = static_cast<int>(network.materials.size()) - 1;
      cell.width = layer.thickness / layer.cells;
      cell.volume = cell.width;
      cell.depth = depth + cell.width / 2;
      cell.inner_shape = cell.outer_shape = cell.width / 2;
      cell.start = {start, -1};
      network.cells.push_back(cell);
      depth += cell.width;
    }
  }
  network.chain_cells = static_cast<int>(network.cells.size());
  network.columns = {{"slab", 0, network.chain_cells, 0, 1, -1}};
  mesh::add_column_faces(network, network.columns.front());
  mesh::Link inner;
  inner.a = 0;
  inner.outside = mesh::Outside::ground;
  inner.conductance = inner_coefficient;
  inner.path = 0;
  mesh::Link outer = inner;
  outer.a = 1;
  outer.outside = mesh::Outside::air;
  outer.conductance = outer_coefficient;
  outer.path = 1;
  network.links = {inner, outer};
  return network;
}

/// One lumped body joined to the air by `conductance` (W/K).
inline mesh::Network lump(const cases::Material& material, double mass, double start,
                          double conductance) {
  mesh::Network network;
  network.materials = {{material, 1}};
  network.parts = {"lump"};
  network.paths = {"wall"};
  mesh::Cell cell;
  cell.volume = mass / material.density;
  cell.start = {start, -1};
  network.cells = {cell};
  network.hubs = {{"lump", 0, -1}};
  mesh::Link link;
  link.outside = mesh::Outside::air;
  link.conductance = conductance;
  link.path = 0;
  network.links = {link};
  network.probes = {{"lump", {0}, {1}, -1, -1}};
  return network;
}

/// Keeps the last step's end for looking at.
class LastState : public solver::Watcher {
 public:
  void at_instant(const solver::StepView& view) override { keep(view); }
  void after_step(const solver::StepView& view) override { keep(view); }

  solver::State state;
  solver::Rates rates;
  double time = 0;

 private:
  void keep(const solver::StepView& view) {
    state = *view.to;
    rates = *view.to_rates;
    time = view.end;
  }
};

inline solver::Schedule steady_schedule(double air, double ground, double duration) {
  solver::Schedule schedule;
  schedule.air = cases::ConstantAir{air};
  schedule.ground_follows_air = false;
  schedule.ground = ground;
  schedule.duration = duration;
  return schedule;
}

/// 5 cm of something as wet as water, started at 30 degC.
inline mesh::Network wet_slab() {
  return slab({{plain_material(0.6, 1000, 4200), 0.05, 20}}, 303.15, 10, 12);
}

/// Half a day over which the air follows a daily wave and the ground is held; all smooth in time.
inline solver::Schedule half_a_daily_wave() {
  solver::Schedule schedule = steady_schedule(293.15, 278.15, 43200);
  schedule.air = cases::DailyWave{293.15, 8, 36000};
  return schedule;
}

}  // namespace thawline::test
