#pragma once

#include "mesh/network.hpp"
#include "solver/heat/dry_air.hpp"

namespace thawline::solver {

/// A coefficient and its slope by the temperature difference, W/m2/K and W/m2/K2.
struct Coefficient {
  double value = 0;
  double slope = 0;
};

/// Churchill & Chu (1975), vertical plate, all Ra:
/// Nu = {0.825 + 0.387 Ra^(1/6)/[1 + (0.492/Pr)^(9/16)]^(8/27)}².
[[nodiscard]] Coefficient vertical_plate(const AirFilm& film, double length, double difference);

/// Horizontal plate with the buoyant side free (warm face up or cold face down), length = area over
/// perimeter: Nu = 0.54 Ra^(1/4), never under pure conduction Nu = 1.
[[nodiscard]] Coefficient unstable_plate(const AirFilm& film, double length, double difference);

/// Horizontal plate under which (or over which) the air lies stable: Nu = 0.52 Ra^(1/5), never
/// under pure conduction Nu = 1.
[[nodiscard]] Coefficient stable_plate(const AirFilm& film, double length, double difference);

/// The coefficient for a surface at `surface` K in air at `air` K, film properties at their mean.
[[nodiscard]] Coefficient natural_convection(mesh::Facing facing, double length, double surface,
                                             double air);

}  // namespace thawline::solver
