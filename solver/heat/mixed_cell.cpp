#include "solver/heat/mixed_cell.hpp"

#include <algorithm>
#include <cmath>

#include "solver/heat/front.hpp"

namespace thawline::solver {

MixedCell::MixedCell(const EnthalpyCurve& curve, const FrontSides& sides)
    : sides_(sides), melting_point_(curve.melting_point()), latent_(curve.melting_enthalpy()) {
  // A side so near the melting point that the sum is the melting point itself reads the enthalpy of
  // the other phase off the curve: it holds no sensible heat.
  if (sides.subcooling > 0) {
    solid_heat_ =
        std::max(0.0, curve.solid_until() - curve.enthalpy_at(melting_point_ - sides.subcooling));
  }
  if (sides.superheat > 0) {
    liquid_heat_ =
        std::max(0.0, curve.enthalpy_at(melting_point_ + sides.superheat) - curve.liquid_from());
  }
  from_ = curve.solid_until() - solid_heat_;
  to_ = curve.liquid_from() + liquid_heat_;
}

ThermalState MixedCell::at(double enthalpy) const {
  // (e_l − e_s) f² + (L + 2 e_s) f = h + e_s, in the form that does not cancel.
  const double b = latent_ + 2 * solid_heat_;
  const double above = enthalpy - from_;
  const double f = 2 * above / (b + std::sqrt(b * b + 4 * (liquid_heat_ - solid_heat_) * above));
  const double f_slope = 1 / (b + 2 * (liquid_heat_ - solid_heat_) * f);
  const FrontWeight front = front_weight(f, front_blend(latent_));
  const double middle = f > 0.5 ? sides_.superheat : -sides_.subcooling;
  return {melting_point_ + (1 - front.weight) * middle, -front.slope * f_slope * middle, f,
          f_slope};
}

}  // namespace thawline::solver
