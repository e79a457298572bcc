#pragma once

#include "cases/material.hpp"

namespace thawline::mesh {

/// kg/m3 and J/kg/K of dry air at 10 degC (Lemmon et al. 2000).
inline constexpr double air_density = 1.247, air_heat_capacity = 1006;

/// Air inside the box as a material of constant properties (Lemmon et al. 2000 and 2004, dry air at
/// 10 degC).
[[nodiscard]] inline cases::Material inside_air() {
  cases::Material air;
  air.name = "inside air";
  air.density = air.density_liquid = air_density;
  air.heat_capacity_solid =
      air.heat_capacity_liquid = {{{0, air_heat_capacity}}, "Lemmon et al. 2000"};
  air.conductivity_solid = air.conductivity_liquid = {{{0, 0.0251}}, "Lemmon et al. 2004"};
  return air;
}

}  // namespace thawline::mesh
