#include "random_cases/random_material.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace thawline::random_cases {

namespace {

YAML::Node sourced(const std::string& value) {
  YAML::Node node;
  node["value"] = value;
  node["source"] = "drawn";
  return node;
}

YAML::Node sourced(double value, const char* unit) {
  return sourced(fmt::format("{:.7g} {}", value, unit));
}

/// A constant, or a table of two to five rows over −60…80 degC.
YAML::Node property(Draw& draw, double low, double high, const char* unit) {
  if (draw.chance(0.5)) {
    YAML::Node node = sourced(draw.by_ratio(low, high), unit);
    node["valid"].push_back("-60 degC");
    node["valid"].push_back("80 degC");
    return node;
  }
  YAML::Node node;
  const double middle = draw.by_ratio(low, high);
  const int rows = draw.whole(2, 5);
  for (int i = 0; i < rows; ++i) {
    YAML::Node row;
    row.push_back(fmt::format("{:.6g} degC", -60 + 140.0 * (i + draw.between(0, 0.5)) / rows));
    row.push_back(fmt::format("{:.6g} {}", middle * draw.between(0.7, 1.4), unit));
    node["table"].push_back(row);
  }
  node["source"] = "drawn";
  return node;
}

YAML::Node by_phase(Draw& draw, double low, double high, const char* unit) {
  YAML::Node node;
  node["solid"] = property(draw, low, high, unit);
  node["liquid"] = property(draw, low, high, unit);
  return node;
}

YAML::Node sharp(Draw& draw) {
  YAML::Node node;
  node["law"] = "sharp";
  node["point"] = sourced(draw.between(-40, 30), "degC");
  node["latent_heat"] = sourced(draw.by_ratio(20, 400), "kJ/kg");
  return node;
}

YAML::Node range(Draw& draw) {
  YAML::Node node;
  const double solidus = draw.between(-40, 25);
  node["law"] = "range";
  node["solidus"] = sourced(solidus, "degC");
  node["liquidus"] = sourced(solidus + draw.by_ratio(0.01, 20), "degC");
  node["latent_heat"] = sourced(draw.by_ratio(20, 400), "kJ/kg");
  return node;
}

YAML::Node lever(Draw& draw) {
  YAML::Node node;
  const double eutectic = draw.between(-40, -2);
  const double salt = draw.between(0.05, 0.35);
  node["law"] = "lever";
  node["composition"] = sourced(fmt::format("{:.6g}", salt * draw.between(0.05, 0.98)));
  node["eutectic_point"] = sourced(eutectic, "degC");
  node["eutectic_composition"] = sourced(fmt::format("{:.7g}", salt));
  node["eutectic_latent_heat"] = sourced(draw.between(150, 330), "kJ/kg");
  node["latent_heat"] = sourced(draw.between(250, 334), "kJ/kg");
  YAML::Node table;
  const int rows = draw.whole(1, 6);
  const double bend = draw.between(1, 1.5);
  for (int i = 0; i <= rows; ++i) {
    const double share = static_cast<double>(i) / rows;
    YAML::Node row;
    row.push_back(fmt::format("{:.7g}", salt * share));
    row.push_back(fmt::format("{:.7g} degC", eutectic * std::pow(share, bend)));
    table.push_back(row);
  }
  node["liquidus"]["table"] = table;
  node["liquidus"]["source"] = "drawn";
  return node;
}

YAML::Node dilute(Draw& draw) {
  YAML::Node node;
  const double freezing = -draw.by_ratio(0.05, 8);
  node["law"] = "dilute";
  node["freezing_point"] = sourced(freezing, "degC");
  node["water"] = sourced(fmt::format("{:.4g}", draw.between(0.2, 0.99)));
  node["latent_heat"] = sourced("333.4 kJ/kg");
  node["floor"] = sourced(freezing - draw.by_ratio(1, 60), "degC");
  return node;
}

YAML::Node enthalpy_table(Draw& draw) {
  YAML::Node node;
  node["law"] = "table";
  YAML::Node table;
  double temperature = draw.between(-60, -20);
  double enthalpy = 0;
  double fraction = 0;
  const int rows = draw.whole(3, 8);
  for (int i = 0; i < rows; ++i) {
    if (i == rows - 1) fraction = 1;
    YAML::Node row;
    row.push_back(fmt::format("{:.6g} degC", temperature));
    row.push_back(fmt::format("{:.6g} kJ/kg", enthalpy));
    row.push_back(fmt::format("{:.4g}", fraction));
    table.push_back(row);
    temperature += draw.by_ratio(0.05, 15);
    enthalpy += draw.by_ratio(5, 150);
    if (draw.chance(0.6)) fraction = std::min(1.0, fraction + draw.between(0, 0.7));
  }
  node["enthalpy"]["table"] = table;
  node["enthalpy"]["source"] = "drawn";
  return node;
}

}  // namespace

YAML::Node draw_material(Draw& draw) {
  YAML::Node node;
  const double density = draw.between(600, 1300);
  node["title"] = "invented";
  node["density"] = sourced(density, "kg/m3");
  if (draw.chance(0.5)) {
    node["density_liquid"] = sourced(density * draw.between(0.9, 1.1), "kg/m3");
  }
  node["heat_capacity"] = by_phase(draw, 1.2, 4.5, "kJ/kg/K");
  node["conductivity"] = by_phase(draw, 0.08, 3, "W/m/K");
  using Law = YAML::Node (*)(Draw&);
  node["melting"] = draw.one_of(
      std::vector<Law>{sharp, sharp, range, range, lever, dilute, enthalpy_table})(draw);
  if (draw.chance(0.3)) node["emissivity"] = sourced(fmt::format("{:.3g}", draw.between(0.05, 1)));
  return node;
}

}  // namespace thawline::random_cases
