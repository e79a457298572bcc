#pragma once

#include "solver/heat/laws/link_heat.hpp"

namespace thawline::solver {

/// kg/m3 of water at 101.325 kPa and `temperature` (K): Tanaka et al., Metrologia 38 (2001) 301,
/// eq. 1, for 0…40 degC; within 0.02 kg/m3 of IAPWS-95 up to 60 degC, and used for supercooled
/// water too.
[[nodiscard]] double water_density(double temperature);

/// Natural convection of a watery drink inside an upright can or bottle, from its wall, a, to its
/// mean temperature, b (K), over 1 m2; `height` and `diameter` in m.
///
/// A laminar boundary layer on an upright plate, h_1 = λ/H 0.670 Ra^(1/4) / [1 +
/// (0.492/Pr)^(9/16)]^ (4/9) (Churchill & Chu 1975, Ra ≤ 1e9, without its constant), with the
/// properties of water. Water is heaviest at 3.98 degC: what drives it is the largest difference of
/// density between wall and drink, so that it still turns over where the two are equally heavy on
/// either side of that (an assumption). Where it hardly turns over, heat is conducted: the slowest
/// mode of a cylinder that cools from its side, h_2 = j² λ/d with j = 2.4048, the first zero of J0
/// (Carslaw & Jaeger 1959). Together h⁴ = h_1⁴ + h_2⁴ (Churchill & Usagi 1972).
[[nodiscard]] LinkHeat drink_film(double height, double diameter, double wall, double drink);

}  // namespace thawline::solver
