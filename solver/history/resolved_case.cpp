#include "solver/history/resolved_case.hpp"

namespace thawline::solver::history {

using nlohmann::ordered_json;

namespace {

ordered_json wall_json(const cases::Wall& wall) {
  ordered_json layers = ordered_json::array();
  for (const auto& layer : wall) {
    if (const auto* solid = std::get_if<cases::SolidLayer>(&layer)) {
      layers.push_back(
          {{"material", solid->material.name},
           {"thickness_m", solid->thickness},
           {"conductivity_283K_W_m_K", solid->material.conductivity_solid.at(283.15)}});
    } else {
      const auto& gap = std::get<cases::GapLayer>(layer);
      layers.push_back({{"air_gap_m", gap.thickness}, {"emissivity", gap.emissivity}});
    }
  }
  return layers;
}

ordered_json coolant_json(const cases::Coolant& coolant) {
  ordered_json json{{"name", coolant.name},
                    {"material", coolant.material.name},
                    {"mass_kg", coolant.mass},
                    {"volume_m3", volume_of(coolant)},
                    {"start_K", coolant.start},
                    {"melts_from_K", solidus_of(coolant.material)},
                    {"melts_to_K", liquidus_of(coolant.material)},
                    {"contact_W_m2_K", coolant.contact.coefficient},
                    {"liquid_mixing", coolant.liquid_mixing}};
  if (coolant.thickness > 0) json["thickness_m"] = coolant.thickness;
  if (coolant.start_liquid_fraction) json["start_liquid_fraction"] = *coolant.start_liquid_fraction;
  return json;
}

ordered_json air_json(const cases::Air& air) {
  if (const auto* still = std::get_if<cases::ConstantAir>(&air)) {
    return {{"constant_K", still->temperature}};
  }
  if (const auto* wave = std::get_if<cases::DailyWave>(&air)) {
    return {{"mean_K", wave->mean}, {"swing_K", wave->swing}, {"warmest_at_s", wave->warmest_at}};
  }
  const auto& trace = std::get<cases::Trace>(air);
  return {{"trace_s", trace.time}, {"trace_K", trace.temperature}};
}

}  // namespace

ordered_json resolved_case(const cases::Case& c, const mesh::Network& network) {
  ordered_json json;
  json["title"] = c.title;
  json["box"] = {{"inside_volume_m3", inside_volume(c.box)},
                 {"free_air_m3", network.free_air_volume},
                 {"sides", wall_json(c.box.sides)},
                 {"lid", wall_json(c.box.lid)},
                 {"base", wall_json(c.box.base)}};
  for (const auto& wall : network.walls) {
    json["conductance_W_K"][wall.name] = {
        {"plane", wall.plane}, {"edges", wall.edges}, {"corners", wall.corners}};
  }
  json["coolant"] = ordered_json::array();
  for (const auto& coolant : c.coolants) json["coolant"].push_back(coolant_json(coolant));
  json["payload"] = ordered_json::array();
  for (const auto& payload : c.payloads) {
    json["payload"].push_back({{"name", payload.name},
                               {"contents", payload.contents.name},
                               {"mass_kg", mass_of(payload)},
                               {"volume_m3", volume_of(payload)},
                               {"surface_m2", surface_of(payload)},
                               {"start_K", payload.start}});
  }
  json["surroundings"] = {{"air", air_json(c.surroundings.air)},
                          {"outside_coefficient_W_m2_K", c.surroundings.outside_coefficient},
                          {"long_wave", c.surroundings.long_wave},
                          {"base_coefficient_W_m2_K", c.surroundings.base_coefficient}};
  json["run"] = {{"duration_s", c.run.duration},
                 {"accuracy_K", c.run.accuracy},
                 {"output_every_s", c.run.output_every},
                 {"cells", network.cells.size()}};
  if (const auto& air = c.run.section.air_conductivity) {
    json["run"]["air_conductivity_W_m_K"] = *air;
  }
  return json;
}

}  // namespace thawline::solver::history
