#include "solver/heat/taken_up.hpp"

namespace thawline::solver {

double start_enthalpy(const cases::Coolant& coolant, const EnthalpyCurve& curve) {
  return coolant.start_liquid_fraction ? curve.enthalpy_at_fraction(*coolant.start_liquid_fraction)
                                       : curve.enthalpy_at(coolant.start);
}

double heat_taken_up(const cases::Coolant& coolant, double until) {
  const EnthalpyCurve curve(coolant.material);
  return curve.enthalpy_at(until) - start_enthalpy(coolant, curve);
}

}  // namespace thawline::solver
