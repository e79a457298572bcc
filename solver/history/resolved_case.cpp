#include "solver/history/resolved_case.hpp"

#include <array>
#include <optional>

#include "cases/choose_detail.hpp"

namespace thawline::solver::history {

using nlohmann::ordered_json;

namespace {

ordered_json or_null(const std::optional<double>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

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

ordered_json box_json(const cases::Box& box, const mesh::Network& network) {
  ordered_json json;
  if (const auto* r = std::get_if<cases::RectangularInside>(&box.inside)) {
    json["inside"] = {{"length_m", r->length}, {"width_m", r->width}, {"height_m", r->height}};
  } else {
    const auto& round = std::get<cases::RoundInside>(box.inside);
    json["inside"] = {{"diameter_m", round.diameter}, {"height_m", round.height}};
  }
  json["inside_volume_m3"] = inside_volume(box);
  json["free_air_m3"] = network.free_air_volume;
  json["sides"] = wall_json(box.sides);
  json["lid"] = wall_json(box.lid);
  json["base"] = wall_json(box.base);
  json["gasket_leak_W_K"] = box.gasket_leak;
  json["gasket_air_changes_1_s"] = box.gasket_air_changes;
  json["inside_emissivity"] = box.inside_emissivity;
  json["outside_emissivity"] = box.outside_emissivity;
  json["inside_coefficient_W_m2_K"] = or_null(box.inside_coefficient);
  return json;
}

/// Rows of (temperature in K or share, value).
ordered_json property_json(const cases::Property& property) {
  ordered_json rows = ordered_json::array();
  for (const auto& row : property.rows) rows.push_back({row.at, row.value});
  return rows;
}

struct MeltingJson {
  ordered_json operator()(const std::monostate& /*does not melt*/) const { return nullptr; }
  ordered_json operator()(const cases::SharpMelting& m) const {
    return {{"law", "sharp"}, {"point_K", m.point}, {"latent_heat_J_kg", m.latent_heat}};
  }
  ordered_json operator()(const cases::RangeMelting& m) const {
    return {{"law", "range"},
            {"solidus_K", m.solidus},
            {"liquidus_K", m.liquidus},
            {"latent_heat_J_kg", m.latent_heat}};
  }
  ordered_json operator()(const cases::LeverMelting& m) const {
    return {{"law", "lever"},
            {"composition", m.composition},
            {"eutectic_point_K", m.eutectic_point},
            {"eutectic_composition", m.eutectic_composition},
            {"eutectic_latent_heat_J_kg", m.eutectic_latent_heat},
            {"latent_heat_J_kg", m.latent_heat},
            {"liquidus_K_by_composition", property_json(m.liquidus)}};
  }
  ordered_json operator()(const cases::DiluteMelting& m) const {
    return {{"law", "dilute"},
            {"freezing_point_K", m.freezing_point},
            {"water", m.water},
            {"latent_heat_J_kg", m.latent_heat},
            {"floor_K", m.floor}};
  }
  ordered_json operator()(const cases::TableMelting& m) const {
    ordered_json rows = ordered_json::array();
    for (const auto& row : m.rows) {
      rows.push_back({row.temperature, row.enthalpy, row.liquid_fraction});
    }
    return {{"law", "table"}, {"K_J_kg_liquid_fraction", rows}};
  }
};

ordered_json material_json(const cases::Material& m) {
  return {{"title", m.title},
          {"density_kg_m3", m.density},
          {"density_liquid_kg_m3", m.density_liquid},
          {"heat_capacity_solid_J_kg_K", property_json(m.heat_capacity_solid)},
          {"heat_capacity_liquid_J_kg_K", property_json(m.heat_capacity_liquid)},
          {"conductivity_solid_W_m_K", property_json(m.conductivity_solid)},
          {"conductivity_liquid_W_m_K", property_json(m.conductivity_liquid)},
          {"emissivity", m.emissivity},
          {"melting", std::visit(MeltingJson{}, m.melting)}};
}

const char* word_of(cases::Place place) {
  constexpr std::array<const char*, 5> words{"floor", "lid", "sides", "around_payload", "free"};
  return words[static_cast<std::size_t>(place)];
}

ordered_json pieces_json(const cases::Coolant& coolant) {
  if (!coolant.pieces) return nullptr;
  return {{"each_kg", coolant.pieces->each},
          {"count", coolant.pieces->count},
          {"asked_kg", coolant.pieces->asked}};
}

ordered_json freezer_json(const cases::Coolant& coolant) {
  if (!coolant.freezing) return nullptr;
  const cases::Freezing& f = *coolant.freezing;
  return {{"air_K", f.air},
          {"duration_s", f.duration},
          {"from_K", f.from},
          {"coefficient_W_m2_K", f.coefficient},
          {"thickness_m", f.thickness},
          {"liquid", f.liquid},
          {"temperature_K", f.temperature}};
}

ordered_json coolant_json(const cases::Coolant& coolant) {
  const bool loose = coolant.form == cases::CoolantForm::loose;
  return {
      {"name", coolant.name},
      {"material", coolant.material.name},
      {"mass_kg", coolant.mass},
      {"volume_m3", volume_of(coolant)},
      {"pieces", pieces_json(coolant)},
      {"freezer", freezer_json(coolant)},
      {"form", loose ? "loose" : "pack"},
      {"place", word_of(coolant.place)},
      {"thickness_m", coolant.thickness > 0 ? ordered_json(coolant.thickness) : nullptr},
      {"start_K", coolant.start},
      {"start_liquid_fraction", or_null(coolant.start_liquid_fraction)},
      {"melt_water", coolant.melt_water == cases::MeltWater::kept ? "kept" : "drained"},
      {"liquid_mixing", coolant.liquid_mixing},
      {"contact_W_m2_K", coolant.contact.coefficient},
      {"contact_area_m2", or_null(coolant.contact.area)},
      {"contact_of_contents_W_m2_K", loose ? ordered_json(coolant.contact.of_contents) : nullptr},
      {"melts_from_K", solidus_of(coolant.material)},
      {"melts_to_K", liquidus_of(coolant.material)}};
}

ordered_json cans_json(const cases::Cans& cans) {
  ordered_json json{{"count", cans.count},
                    {"volume_m3", cans.volume},
                    {"diameter_m", cans.diameter},
                    {"height_m", cans.height},
                    {"detail", cans.radial ? "radial" : "lumped"},
                    {"shell", nullptr}};
  if (cans.shell) {
    json["shell"] = {{"material", cans.shell->name}, {"thickness_m", cans.shell_thickness}};
  }
  return json;
}

ordered_json support_json(const cases::Support& support) {
  constexpr std::array<const char*, 4> words{"what_is_below", "pack", "base", "free"};
  return {{"on", words[static_cast<std::size_t>(support.on)]},
          {"pack", support.pack},
          {"contact_W_m2_K", support.coefficient},
          {"contact_area_m2", or_null(support.area)},
          {"leans", support.leans}};
}

ordered_json payload_json(const cases::Payload& payload) {
  ordered_json json{{"name", payload.name},
                    {"contents", payload.contents.name},
                    {"mass_kg", mass_of(payload)},
                    {"volume_m3", volume_of(payload)},
                    {"surface_m2", surface_of(payload)},
                    {"start_K", payload.start},
                    {"liquid_mixing", payload.liquid_mixing},
                    {"stands", support_json(payload.stands)}};
  if (const auto* cans = std::get_if<cases::Cans>(&payload.body)) {
    json["cans"] = cans_json(*cans);
  } else {
    json["block"] = {{"thickness_m", std::get<cases::FoodBlock>(payload.body).thickness}};
  }
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
  ordered_json json{{"trace", trace.file}, {"channel", trace.channel}};
  if (!trace.starts.empty()) json["trace_starts"] = trace.starts;
  json["trace_s"] = trace.time;
  json["trace_K"] = trace.temperature;
  return json;
}

ordered_json happening_json(const cases::Happening& happening) {
  ordered_json json{{"at_s", happening.at}};
  if (const auto* open = std::get_if<cases::OpenLid>(&happening.what)) {
    json["open_lid_s"] = open->duration;
    json["air_changes_1_s"] = open->air_changes;
  } else if (const auto* add = std::get_if<cases::AddItem>(&happening.what)) {
    json["add"] = add->item;
  } else {
    json["remove"] = std::get<cases::RemoveItem>(happening.what).item;
  }
  return json;
}

ordered_json run_json(const cases::Run& run) {
  return {
      {"duration_s", run.duration},
      {"detail", cases::word_of(run.detail)},
      {"why_detail", run.why_detail.empty() ? ordered_json(nullptr) : ordered_json(run.why_detail)},
      {"accuracy_K", run.accuracy},
      {"output_every_s", run.output_every},
      {"fields", run.fields},
      {"section",
       {{"fineness", run.section.fineness},
        {"most_cells", run.section.most_cells},
        {"air_conductivity_W_m_K", or_null(run.section.air_conductivity)}}}};
}

template <typename List, typename Of>
ordered_json list_json(const List& list, Of of) {
  ordered_json json = ordered_json::array();
  for (const auto& entry : list) json.push_back(of(entry));
  return json;
}

}  // namespace

ordered_json resolved_case(const cases::Case& c, const mesh::Network& network) {
  ordered_json json;
  json["title"] = c.title;
  json["box"] = box_json(c.box, network);
  for (const auto& [name, material] : materials_of(c)) {
    json["materials"][name] = material_json(material);
  }
  json["coolant"] = list_json(c.coolants, coolant_json);
  json["payload"] = list_json(c.payloads, payload_json);
  json["surroundings"] = {{"air", air_json(c.surroundings.air)},
                          {"outside_coefficient_W_m2_K", c.surroundings.outside_coefficient},
                          {"long_wave", c.surroundings.long_wave},
                          {"base_coefficient_W_m2_K", c.surroundings.base_coefficient},
                          {"base_temperature_K", or_null(c.surroundings.base_temperature)}};
  json["happenings"] = list_json(c.happenings, happening_json);
  json["limits"] = list_json(c.limits, [](const cases::Limit& limit) {
    return ordered_json{{"name", limit.name},
                        {"probes", limit.probes},
                        {"side", cases::word_of(limit.side)},
                        {"temperature_K", limit.temperature},
                        {"logger_error_K", limit.logger_error}};
  });
  json["run"] = run_json(c.run);
  json["cells"] = network.cells.size();
  for (const auto& wall : network.walls) {
    json["conductance_W_K"][wall.name] = {
        {"plane", wall.plane}, {"edges", wall.edges}, {"corners", wall.corners}};
  }
  return json;
}

}  // namespace thawline::solver::history
