#include "solver/heat/drink_film.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace thawline::solver {

namespace {

constexpr double freezing_point = 273.15;  // K
constexpr double heaviest = 3.983035;      // degC
/// Of the density's formula, degC; beyond them it goes on straight, so that a film has no kink.
constexpr double coldest = -30, warmest = 60;
constexpr double gravity = 9.80665;

struct Row {
  double celsius, conductivity, viscosity, diffusivity;  ///< degC, W/m/K, m2/s, m2/s
};

/// Water at 101.325 kPa: IAPWS-95 with R12-08 (viscosity) and R15-11 (conductivity).
constexpr std::array<Row, 7> rows{{
    {0, 0.55565, 1.79204e-6, 1.31709e-7},
    {5, 0.567794, 1.51822e-6, 1.35032e-7},
    {10, 0.578777, 1.30629e-6, 1.38004e-7},
    {18, 0.594418, 1.05415e-6, 1.42215e-7},
    {28, 0.611313, 8.35523e-7, 1.46789e-7},
    {40, 0.628486, 6.57849e-7, 1.51556e-7},
    {60, 0.651, 4.74e-7, 1.58216e-7},
}};

/// The first and last row hold beyond the table.
Row water_at(double celsius) {
  celsius = std::clamp(celsius, rows.front().celsius, rows.back().celsius);
  std::size_t i = 0;
  while (i + 2 < rows.size() && celsius > rows[i + 1].celsius) ++i;
  const Row& low = rows[i];
  const Row& high = rows[i + 1];
  const double share = (celsius - low.celsius) / (high.celsius - low.celsius);
  const auto between = [&](double a, double b) { return a + share * (b - a); };
  return {celsius, between(low.conductivity, high.conductivity),
          between(low.viscosity, high.viscosity), between(low.diffusivity, high.diffusivity)};
}

/// Density (kg/m3) and its change a kelvin.
struct Density {
  double value = 0, slope = 0;
};

Density density_at(double celsius) {
  constexpr double a2 = 301.797, a3 = 522528.9, a4 = 69.34881, a5 = 999.974950;
  const double known = std::clamp(celsius, coldest, warmest);
  const double off = known - heaviest;
  const double top = off * off * (known + a2);
  const double bottom = a3 * (known + a4);
  const double top_slope = 2 * off * (known + a2) + off * off;
  const double slope = -a5 * (top_slope * bottom - top * a3) / (bottom * bottom);
  return {a5 * (1 - top / bottom) + slope * (celsius - known), slope};
}

/// Largest difference of density between two temperatures, as a share, and its change by either.
struct Unevenness {
  double value = 0, by_a = 0, by_b = 0;
};

Unevenness unevenness(double a, double b) {
  const double celsius_a = a - freezing_point;
  const double celsius_b = b - freezing_point;
  const Density at_a = density_at(celsius_a);
  const Density at_b = density_at(celsius_b);
  const double top = density_at(heaviest).value;
  const bool turns =
      std::min(celsius_a, celsius_b) < heaviest && std::max(celsius_a, celsius_b) > heaviest;
  const bool a_is_light = at_a.value < at_b.value;
  Unevenness u;
  const double heavy = turns ? top : std::max(at_a.value, at_b.value);
  u.value = (heavy - std::min(at_a.value, at_b.value)) / top;
  const double sign = a_is_light ? 1 : -1;
  u.by_a = turns && !a_is_light ? 0 : -sign * at_a.slope / top;
  u.by_b = turns && a_is_light ? 0 : sign * at_b.slope / top;
  return u;
}

/// h⁴ = turning · unevenness + still, with the properties of water at a temperature.
struct FourthPower {
  double turning = 0, still = 0;
};

FourthPower fourth_power(double height, double diameter, double celsius) {
  constexpr double slowest_mode = 2.4048 * 2.4048;
  constexpr double factor = 0.670;
  const Row water = water_at(celsius);
  const double prandtl = water.viscosity / water.diffusivity;
  const double of_prandtl = std::pow(1 + std::pow(0.492 / prandtl, 9.0 / 16), 16.0 / 9);
  const double rayleigh =
      gravity * height * height * height / (water.viscosity * water.diffusivity);
  return {std::pow(factor * water.conductivity / height, 4) / of_prandtl * rayleigh,
          std::pow(slowest_mode * water.conductivity / diameter, 4)};
}

}  // namespace

double water_density(double temperature) { return density_at(temperature - freezing_point).value; }

LinkHeat drink_film(double height, double diameter, double wall, double drink) {
  const double mean = (wall + drink) / 2 - freezing_point;
  const Unevenness uneven = unevenness(wall, drink);
  const FourthPower h4 = fourth_power(height, diameter, mean);
  const double fourth = h4.turning * uneven.value + h4.still;
  const double h = std::sqrt(std::sqrt(fourth));
  const double h_by_h4 = h / (4 * fourth);
  // Of the properties, by either temperature.
  constexpr double apart = 1e-5;  // K
  const FourthPower warmer = fourth_power(height, diameter, mean + apart);
  const double by_mean =
      ((warmer.turning - h4.turning) * uneven.value + warmer.still - h4.still) / apart / 2;
  const double difference = wall - drink;
  const double by_a = h4.turning * uneven.by_a + by_mean;
  const double by_b = h4.turning * uneven.by_b + by_mean;
  return {h * difference, h + difference * h_by_h4 * by_a, -h + difference * h_by_h4 * by_b};
}

}  // namespace thawline::solver
