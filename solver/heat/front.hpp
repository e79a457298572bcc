#pragma once

#include <algorithm>

namespace thawline::solver {

/// Where the liquid of a melting cell lies, seen along its column.
enum class FrontPlace : unsigned char {
  none,
  liquid_inward,
  liquid_outward,
  solid_core,
  liquid_core
};

/// The place of the liquid by the number of cells to the other phase inward and outward (`far`:
/// none there). Only a cell that is as far from either front can have both in it.
inline FrontPlace front_place(int inward, int outward, bool liquid, int far) {
  if (inward == far && outward == far) return FrontPlace::none;
  if (inward == outward) {
    return liquid ? FrontPlace::liquid_core : FrontPlace::solid_core;
  }
  return (inward < outward) == liquid ? FrontPlace::liquid_outward : FrontPlace::liquid_inward;
}

/// The same for a cell with the liquid fraction `fraction` that had its liquid at `before`. Where
/// two fronts meet at the face between two cells, both are more than half of the new phase before
/// either is done: neither sees the other phase any more, and each keeps the front it has.
inline FrontPlace front_place(FrontPlace before, int inward, int outward, double fraction,
                              int far) {
  const FrontPlace place = front_place(inward, outward, fraction > 0.5, far);
  const bool is_mixed = fraction > 0 && fraction < 1;
  return place == FrontPlace::none && is_mixed ? before : place;
}

/// Resistances of the two halves of a cell as its front sees them, per unit of shape (m K/W), and
/// their derivatives by liquid fraction.
struct HalfResistances {
  double inner = 0, outer = 0;
  double inner_slope = 0, outer_slope = 0;
};

/// Over which share of its melting at either end a cell passes from being read in its middle to
/// being read at its front: the first and last 0.1 % of a melt of 100 kJ/kg and above, more where
/// melting takes less heat (`melting`, J/kg), lest a step that may err by some joules a kilogram
/// meet it as a jump.
constexpr double front_blend(double melting) {
  constexpr double heat = 100;  // J/kg
  return melting > 0 ? std::clamp(heat / melting, 0.001, 0.05) : 0.05;
}

/// How much a melting cell is read at its front rather than in its middle, and the derivative by
/// liquid fraction: 1 but over the first and last `blend` of melting, which keeps conductances
/// continuous.
struct FrontWeight {
  double weight = 0, slope = 0;
};

inline FrontWeight front_weight(double fraction, double blend) {
  const double edge = std::min(fraction, 1 - fraction);
  if (edge >= blend) return {1, 0};
  return {edge / blend, fraction < 0.5 ? 1 / blend : -1 / blend};
}

/// Resistances from the cell's inner and outer face to the place that has its temperature: the
/// middle while the cell has one phase, the front itself while it melts (front at `fraction` of the
/// width). See EQUATIONS.md. `solid`, `liquid`: 1/k of the phases, m K/W; `blend`: see
/// front_weight.
inline HalfResistances front_resistances(FrontPlace place, double fraction, double solid,
                                         double liquid, double blend) {
  const bool outward = place == FrontPlace::liquid_outward;
  const double pure = 0.5 * (fraction > 0.5 ? liquid : solid);
  const auto [weight, weight_slope] = front_weight(fraction, blend);
  double inner = 0;
  double outer = 0;
  double inner_slope = 0;
  double outer_slope = 0;
  switch (place) {
    case FrontPlace::none: {
      const double mixed = 0.5 * ((1 - fraction) * solid + fraction * liquid);
      const double slope = 0.5 * (liquid - solid);
      return {mixed, mixed, slope, slope};
    }
    case FrontPlace::liquid_inward:
    case FrontPlace::liquid_outward:
      inner = fraction * liquid;
      outer = (1 - fraction) * solid;
      inner_slope = liquid;
      outer_slope = -solid;
      break;
    case FrontPlace::solid_core:
      inner = outer = 0.5 * fraction * liquid;
      inner_slope = outer_slope = 0.5 * liquid;
      break;
    case FrontPlace::liquid_core:
      inner = outer = 0.5 * (1 - fraction) * solid;
      inner_slope = outer_slope = -0.5 * solid;
      break;
  }
  HalfResistances r{(1 - weight) * pure + weight * inner, (1 - weight) * pure + weight * outer,
                    weight * inner_slope + weight_slope * (inner - pure),
                    weight * outer_slope + weight_slope * (outer - pure)};
  if (outward) {
    std::swap(r.inner, r.outer);
    std::swap(r.inner_slope, r.outer_slope);
  }
  return r;
}

}  // namespace thawline::solver
