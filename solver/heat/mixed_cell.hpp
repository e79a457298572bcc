#pragma once

#include "solver/heat/enthalpy_curve.hpp"

namespace thawline::solver {

/// How far the two phases of a cell are from its melting point half a cell away from the front, K.
/// Both ≥ 0; taken from the gradients beside the front.
struct FrontSides {
  double subcooling = 0;
  double superheat = 0;
};

/// A cell through which a sharp front passes, and the sensible heat its two parts hold meanwhile:
///
///     h(f) = L f + e_l f² − e_s (1 − f)²,   0 ≤ f ≤ 1
///
/// with e_l, e_s the specific heats of superheating the liquid and subcooling the solid to
/// `FrontSides`. A part that fills a share f of the cell, with a straight temperature profile that
/// is at the melting point at the front, is at f times the superheat on average. The cell thus
/// begins to melt when the front reaches its face, its middle still subcooled, and ends likewise.
class MixedCell {
 public:
  MixedCell() = default;
  MixedCell(const EnthalpyCurve& curve, const FrontSides& sides);

  [[nodiscard]] const FrontSides& sides() const { return sides_; }
  /// True while the front is inside the cell at this specific enthalpy (J/kg).
  [[nodiscard]] bool holds(double enthalpy) const { return enthalpy > from_ && enthalpy < to_; }
  [[nodiscard]] EnthalpySpan span() const { return {from_, to_}; }
  /// False before the first front was placed.
  [[nodiscard]] bool is_placed() const { return to_ > from_; }
  /// State of the cell; `holds(enthalpy)` must be true. The temperature is that of the place
  /// `front_resistances` counts from: the front, blended with the middle at both ends.
  [[nodiscard]] ThermalState at(double enthalpy) const;

 private:
  FrontSides sides_;
  double melting_point_ = 0, latent_ = 0;    // K, J/kg
  double solid_heat_ = 0, liquid_heat_ = 0;  // e_s, e_l, J/kg
  double from_ = 0, to_ = 0;                 // h at f = 0 and 1, J/kg
};

}  // namespace thawline::solver
