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

constexpr AirFilm film_of(const Row& row) {
  return {row.conductivity, gravity * row.expansion / (row.viscosity * row.diffusivity),
          row.prandtl};
}

}  // namespace

AirFilm dry_air(double temperature) {
  const double celsius =
      std::clamp(temperature - 273.15, rows.front().celsius, rows.back().celsius);
  std::size_t i = 1;
  while (i + 1 < rows.size() && celsius > rows[i].celsius) ++i;
  const double share = (celsius - rows[i - 1].celsius) / (rows[i].celsius - rows[i - 1].celsius);
  const AirFilm low = film_of(rows[i - 1]);
  const AirFilm high = film_of(rows[i]);
  return {low.conductivity + share * (high.conductivity - low.conductivity),
          low.buoyancy + share * (high.buoyancy - low.buoyancy),
          low.prandtl + share * (high.prandtl - low.prandtl)};
}

}  // namespace thawline::solver
