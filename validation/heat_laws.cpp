#include "cases/read_material.hpp"
#include "library_json.hpp"
#include "solver/heat/convection.hpp"

// Values of the library's laws. Usage: heat_laws MATERIAL_FOLDER < question.json > answer.json
//   convection  [{law, length, difference}] with the film {conductivity, buoyancy, prandtl}
//   curves      [{material, temperatures: [K], fractions: [1]}] of a material of the folder
//   levers      [{composition, eutectic..., temperatures: [K]}], own brines
//   enclosures  [{areas: [m2], emissivities, temperatures: [K]}], bodies about one radiant node

using namespace thawline;
using validation::json;

namespace {

json convection(const json& film_json, const json& rows) {
  const solver::AirFilm film{film_json.at("conductivity"), film_json.at("buoyancy"),
                             film_json.at("prandtl")};
  json out = json::array();
  for (const auto& row : rows) {
    const double length = row.at("length");
    const double difference = row.at("difference");
    const std::string law = row.at("law");
    const auto h = law == "vertical"   ? solver::vertical_plate(film, length, difference)
                   : law == "unstable" ? solver::unstable_plate(film, length, difference)
                                       : solver::stable_plate(film, length, difference);
    out.push_back(h.value);
  }
  return out;
}

json curve_of(const cases::Material& material, const json& question) {
  const solver::EnthalpyCurve curve(material);
  json out{{"melting_enthalpy", curve.melting_enthalpy()},
           {"liquid_from", curve.liquid_from()},
           {"density", material.density},
           {"density_liquid", material.density_liquid}};
  for (const double t : question.at("temperatures").get<std::vector<double>>()) {
    const double h = curve.enthalpy_at(t);
    out["enthalpy"].push_back(h);
    out["fraction"].push_back(curve.at(h).liquid_fraction);
    out["capacity"].push_back(1 / curve.at(h).slope);
    out["conductivity_solid"].push_back(material.conductivity_solid.at(t));
    out["conductivity_liquid"].push_back(material.conductivity_liquid.at(t));
    out["capacity_solid"].push_back(material.heat_capacity_solid.at(t));
    out["capacity_liquid"].push_back(material.heat_capacity_liquid.at(t));
  }
  return out;
}

cases::Material brine_of(const json& j) {
  cases::Material brine =
      validation::material_from({{"k", 0.5}, {"rho", 1070}, {"c", j.at("capacity")}});
  cases::LeverMelting lever;
  lever.composition = j.at("composition");
  lever.eutectic_point = j.at("eutectic_point");
  lever.eutectic_composition = j.at("eutectic_composition");
  lever.eutectic_latent_heat = j.at("eutectic_latent_heat");
  lever.latent_heat = j.at("latent_heat");
  for (const auto& row : j.at("liquidus")) lever.liquidus.rows.push_back({row[0], row[1]});
  brine.melting = lever;
  return brine;
}

/// Heavy bodies about one node without heat capacity: their rates just after the start, W; null
/// when the march does not complete.
json enclosure(const json& j) {
  mesh::Network network;
  network.materials = {{validation::material_from({{"k", 1}, {"rho", 1000}, {"c", 1000}}), 1}};
  network.parts = {"body"};
  const std::vector<double> areas = j.at("areas");
  const std::vector<double> emissivities = j.at("emissivities");
  const std::vector<double> temperatures = j.at("temperatures");
  for (std::size_t i = 0; i < areas.size(); ++i) {
    mesh::Cell cell;
    cell.volume = 1e3;
    cell.start = {temperatures[i], -1};
    network.cells.push_back(cell);
    network.hubs.push_back({"body", static_cast<int>(i), -1});
  }
  network.hubs.push_back({"long-wave exchange", -1, -1});
  for (std::size_t i = 0; i < areas.size(); ++i) {
    mesh::Link link;
    link.a = static_cast<int>(i);
    link.b = static_cast<int>(areas.size());
    link.law = mesh::Law::radiation;
    link.area = emissivities[i] * areas[i];
    network.links.push_back(link);
  }
  const json answer =
      validation::march_through(network, cases::ConstantAir{280}, 280, {1e-3}, 1e-6);
  if (!answer.at("completed")) return nullptr;
  return answer.at("shots")[0].at("rate");
}

}  // namespace

int main(int, char** arguments) {
  const json question = json::parse(std::cin);
  const auto shelf = cases::read_material_folder(arguments[1]);
  json answer;
  answer["convection"] = convection(question.at("film"), question.at("convection"));
  for (const auto& q : question.at("curves")) {
    answer["curves"].push_back(curve_of(shelf.at(q.at("material")), q));
  }
  for (const auto& q : question.at("levers")) {
    answer["levers"].push_back(curve_of(brine_of(q), q));
  }
  for (const auto& q : question.at("enclosures")) answer["enclosures"].push_back(enclosure(q));
  std::cout << answer << "\n";
}
