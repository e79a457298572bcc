#pragma once

#include "cases/case.hpp"
#include "solver/heat/heat_balance.hpp"

/// What the tests of derivatives share.
namespace thawline::test {

inline std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Unknown `j`: the enthalpy of a cell, then the temperature of a hub.
inline double& unknown(solver::State& y, int j) {
  const auto cells = y.enthalpy.size();
  return j < cells ? y.enthalpy[j] : y.surface[j - cells];
}

/// Whether unknown `j` is one: a lumped hub is counted as its cell.
inline bool is_unknown(const solver::HeatBalance& balance, int j) {
  return j < balance.cells() || balance.is_surface(j - balance.cells());
}

/// Newton leaves out that conductivities and the air's properties change with temperature. Here
/// they do not: one conductivity a phase, and all air above 40 degC, where the table of the film
/// ends.
inline mesh::Network with_constant_properties(const cases::Case& c) {
  auto network = mesh::build_network(c);
  for (auto& m : network.materials) {
    for (auto* k : {&m.material.conductivity_solid, &m.material.conductivity_liquid}) {
      k->rows = {k->rows.front()};
    }
  }
  return network;
}

/// Everything melts and has fronts, nothing is near a kink, and no two neighbours are alike.
inline solver::State melting_state(const solver::HeatBalance& balance, double air,
                                   double surfaces) {
  auto y = balance.start_state();
  for (int i = 0; i < balance.cells(); ++i) {
    const auto& curve = balance.curve(i);
    const double h = curve.melts() ? curve.enthalpy_at_fraction(0.37 + 0.0011 * (i % 7))
                                   : curve.enthalpy_at(air - 0.3 * (i % 11));
    y.enthalpy[i] = balance.mass(i) * h;
  }
  for (int h = 0; h < balance.hubs(); ++h) y.surface[h] = surfaces + 0.13 * h;
  return y;
}

}  // namespace thawline::test
