#pragma once

#include <string>
#include <variant>
#include <vector>

namespace thawline::cases {

/// One row of a property table: temperature in K (or a mass fraction) and the value in SI.
struct TableRow {
  double at = 0;
  double value = 0;
};

/// A property: piecewise linear in `rows`, constant beyond the ends; at least one row.
/// `source` says where the values come from.
struct Property {
  std::vector<TableRow> rows;
  std::string source;

  /// Value at `x` (K or mass fraction), in the property's SI unit.
  [[nodiscard]] double at(double x) const;
};

/// Isothermal melting at `point` (K) with `latent_heat` (J/kg).
struct SharpMelting {
  double point = 0;
  double latent_heat = 0;
};

/// Liquid fraction linear between `solidus` and `liquidus` (K).
struct RangeMelting {
  double solidus = 0;
  double liquidus = 0;
  double latent_heat = 0;
};

/// Salt brine: below the eutectic point solid, above it ice in brine by the lever rule.
/// `composition` is the mass fraction of salt; `liquidus` holds mass fraction → K.
struct LeverMelting {
  double composition = 0;
  double eutectic_point = 0;
  double eutectic_composition = 0;
  double eutectic_latent_heat = 0;
  double latent_heat = 0;
  Property liquidus;
};

/// Dilute water solution (drinks, food): below `freezing_point` (K) the unfrozen part of the
/// `water` (mass fraction) is freezing_point/T in degC (ideal cryoscopy), down to `floor` (K).
struct DiluteMelting {
  double freezing_point = 0;
  double water = 0;
  double latent_heat = 0;
  double floor = 0;
};

/// One row of a measured enthalpy curve.
struct EnthalpyRow {
  double temperature = 0;      ///< K
  double enthalpy = 0;         ///< J/kg
  double liquid_fraction = 0;  ///< 0…1
};

/// Measured enthalpy curve, linear between rows.
struct TableMelting {
  std::vector<EnthalpyRow> rows;
};

using Melting = std::variant<std::monostate, SharpMelting, RangeMelting, LeverMelting,
                             DiluteMelting, TableMelting>;

/// A material in SI. One-phase materials have equal solid and liquid properties.
struct Material {
  std::string name;
  std::string title;
  std::vector<std::string> uses;
  double density = 0;             ///< kg/m3, as packed
  double density_liquid = 0;      ///< kg/m3, of the melt; equals `density` where not given
  Property heat_capacity_solid;   ///< J/kg/K
  Property heat_capacity_liquid;  ///< J/kg/K
  Property conductivity_solid;    ///< W/m/K
  Property conductivity_liquid;   ///< W/m/K
  double emissivity = 0.9;        ///< long-wave
  Melting melting;
  /// Its entry in a material file as it stands there (YAML); empty for a case's own.
  std::string written;

  [[nodiscard]] bool melts() const { return !std::holds_alternative<std::monostate>(melting); }
};

/// Temperature (K) below which the material is wholly solid; 0 K where it does not melt.
[[nodiscard]] double solidus_of(const Material& material);

/// Temperature (K) from which the material is wholly liquid; 0 K where it does not melt.
[[nodiscard]] double liquidus_of(const Material& material);

}  // namespace thawline::cases
