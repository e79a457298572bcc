#include "solver/heat/convection.hpp"

#include <algorithm>
#include <cmath>

namespace thawline::solver {

namespace {

double rayleigh(const AirFilm& film, double length, double difference) {
  return film.buoyancy * difference * length * length * length;
}

/// Nu = max(1, factor Ra^power).
Coefficient power_law(const AirFilm& film, double length, double difference, double factor,
                      double power) {
  const double scale = film.conductivity / length;
  const double nusselt = factor * std::pow(rayleigh(film, length, difference), power);
  if (nusselt <= 1) return {scale, 0};
  return {scale * nusselt, scale * nusselt * power / difference};
}

}  // namespace

Coefficient vertical_plate(const AirFilm& film, double length, double difference) {
  const double scale = film.conductivity / length;
  const double prandtl_part = std::pow(1 + std::pow(0.492 / film.prandtl, 9.0 / 16), 8.0 / 27);
  const double ra = std::max(rayleigh(film, length, difference), 1e-9);
  const double term = 0.387 * std::cbrt(std::sqrt(ra)) / prandtl_part;
  const double root = 0.825 + term;
  const double slope =
      difference > 0 ? scale * 2 * root * term / (6 * std::max(difference, 1e-9)) : 0;
  return {scale * root * root, slope};
}

Coefficient unstable_plate(const AirFilm& film, double length, double difference) {
  return power_law(film, length, difference, 0.54, 0.25);
}

Coefficient stable_plate(const AirFilm& film, double length, double difference) {
  return power_law(film, length, difference, 0.52, 0.2);
}

Coefficient natural_convection(mesh::Facing facing, double length, double surface, double air) {
  const AirFilm film = dry_air((surface + air) / 2);
  const double difference = std::abs(surface - air);
  if (facing == mesh::Facing::sideways) return vertical_plate(film, length, difference);
  const bool warm = surface > air;
  const bool up = facing == mesh::Facing::up;
  return warm == up ? unstable_plate(film, length, difference)
                    : stable_plate(film, length, difference);
}

}  // namespace thawline::solver
