#pragma once

namespace thawline::solver {

/// Dry air at 101.325 kPa as a film between a surface and the air space.
struct AirFilm {
  double conductivity = 0;  ///< W/m/K
  double buoyancy = 0;      ///< g β/(ν α), 1/(m3 K): Ra = buoyancy ΔT L³
  double prandtl = 0;
};

/// Film properties at `temperature` (K), linear between rows of Lemmon (2000) and Lemmon & Jacobsen
/// (2004), −20…40 degC; held constant outside.
[[nodiscard]] AirFilm dry_air(double temperature);

}  // namespace thawline::solver
