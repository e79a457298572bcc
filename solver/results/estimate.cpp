#include "solver/results/estimate.hpp"

#include "mesh/box_faces.hpp"
#include "solver/heat/taken_up.hpp"

namespace thawline::solver {

double frozen_energy(const cases::Coolant& coolant) {
  const EnthalpyCurve curve(coolant.material);
  if (!curve.melts()) return 0;
  return coolant.mass * (curve.liquid_from() - start_enthalpy(coolant, curve));
}

Estimate estimate(const cases::Case& c, const mesh::Network& network) {
  Estimate e;
  const auto faces = mesh::box_faces(c.box);
  for (std::size_t i = 0; i < faces.size(); ++i) {
    const auto& wall = network.walls[i];
    const double outside = faces[i].area + faces[i].slope * thickness_of(*faces[i].wall);
    e.by_path.emplace_back(wall.name, 1 / (1 / (wall.plane + wall.edges + wall.corners) +
                                           0.13 / faces[i].area + 0.04 / outside));
  }
  double gasket = 0;
  for (const auto& link : network.links) {
    if (link.law == mesh::Law::gasket) gasket += link.conductance;
  }
  if (gasket > 0) e.by_path.emplace_back("gasket", gasket);
  for (const auto& [path, conductance] : e.by_path) e.conductance += conductance;
  e.ambient = mean_temperature(c.surroundings.air, c.run.duration);
  double mass = 0;
  for (const auto& coolant : c.coolants) {
    if (!coolant.material.melts()) continue;
    e.frozen_energy += frozen_energy(coolant);
    e.melting_point += coolant.mass * liquidus_of(coolant.material);
    mass += coolant.mass;
  }
  if (mass <= 0) return e;
  e.melting_point /= mass;
  for (const auto& payload : c.payloads) {
    const EnthalpyCurve curve(payload.contents);
    e.payload_energy +=
        mass_of(payload) * (curve.enthalpy_at(payload.start) - curve.enthalpy_at(e.melting_point));
  }
  const double drive = e.conductance * (e.ambient - e.melting_point);
  const double energy = e.frozen_energy - e.payload_energy;
  if (drive > 0 && energy > 0) e.spent_after = energy / drive;
  return e;
}

}  // namespace thawline::solver
