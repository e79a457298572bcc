#include "solver/heat/dry_air.hpp"

#include <algorithm>
#include <array>

namespace thawline::solver {

namespace {

struct Row {
  double celsius, conductivity, viscosity, diffusivity, prandtl, expansion;
};

constexpr std::array<Row, 6> rows{{
    {-20, 0.0228117, 1.160842e-5, 1.625495e-5, 0.714147, 3.967726e-3},
    {0, 0.0243605, 1.331596e-5, 1.873284e-5, 0.710835, 3.673961e-3},
    {10, 0.0251214, 1.420378e-5, 2.002384e-5, 0.709344, 3.542931e-3},
    {20, 0.0258738, 1.511378e-5, 2.134847e-5, 0.707956, 3.420988e-3},
    {30, 0.0266180, 1.604555e-5, 2.270590e-5, 0.706669, 3.307212e-3},
    {40, 0.0273543, 1.699875e-5, 2.409532e-5, 0.705479, 3.200804e-3},
}};

constexpr double gravity = 9.80665;

/// By row: the film at the row, and its change a kelvin up to the next row.
struct Stretch {
  AirFilm film, by_kelvin;
};

constexpr AirFilm film_of(const Row& row) {
  return {row.conductivity, gravity * row.expansion / (row.viscosity * row.diffusivity),
          row.prandtl};
}

constexpr std::array<Stretch, rows.size() - 1> stretches() {
  std::array<Stretch, rows.size() - 1> out{};
  for (std::size_t i = 0; i < out.size(); ++i) {
    const AirFilm low = film_of(rows[i]);
    const AirFilm high = film_of(rows[i + 1]);
    const double span = rows[i + 1].celsius - rows[i].celsius;
    out[i] = {low,
              {(high.conductivity - low.conductivity) / span, (high.buoyancy - low.buoyancy) / span,
               (high.prandtl - low.prandtl) / span}};
  }
  return out;
}

}  // namespace

AirFilm dry_air(double temperature) {
  static constexpr auto table = stretches();
  const double celsius =
      std::clamp(temperature - 273.15, rows.front().celsius, rows.back().celsius);
  std::size_t i = 0;
  while (i + 1 < table.size() && celsius > rows[i + 1].celsius) ++i;
  const double beyond = celsius - rows[i].celsius;
  const auto& [film, slope] = table[i];
  return {film.conductivity + beyond * slope.conductivity, film.buoyancy + beyond * slope.buoyancy,
          film.prandtl + beyond * slope.prandtl};
}

}  // namespace thawline::solver
