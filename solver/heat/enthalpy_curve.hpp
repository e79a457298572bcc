#pragma once

#include <cstddef>
#include <limits>
#include <vector>

#include "cases/material.hpp"

namespace thawline::solver {

/// What a cell is at a given enthalpy.
struct ThermalState {
  double temperature = 0;      ///< K
  double slope = 0;            ///< dT/dh, K kg/J; zero in an isothermal melt
  double liquid_fraction = 0;  ///< 0…1
  double fraction_slope = 0;   ///< df/dh, kg/J
};

/// A range of specific enthalpy, J/kg.
struct EnthalpySpan {
  double from = -std::numeric_limits<double>::infinity();
  double to = std::numeric_limits<double>::infinity();
};

/// T(h) and liquid fraction of one material as monotone, piecewise linear functions of specific
/// enthalpy h (J/kg). h = 0 is the solid at its melting point (the end of its solid range), or
/// 0 degC for a material that does not melt. At a kink the branch of larger h is taken.
class EnthalpyCurve {
 public:
  explicit EnthalpyCurve(const cases::Material& material);

  [[nodiscard]] ThermalState at(double enthalpy) const;
  /// The same where the caller remembers the piece of the curve it was on last; updates it.
  [[nodiscard]] ThermalState at(double enthalpy, std::size_t& piece) const;
  /// The isothermal melt that `enthalpy` lies in, J/kg; all of the line when it lies in none.
  [[nodiscard]] EnthalpySpan isothermal_span(double enthalpy) const;
  /// Specific enthalpy at a temperature; at an isothermal melt that of the solid.
  [[nodiscard]] double enthalpy_at(double temperature) const;
  /// Specific enthalpy at a liquid fraction (0…1) of a material that melts.
  [[nodiscard]] double enthalpy_at_fraction(double liquid_fraction) const;

  /// True for a straight T(h) without melting: the heat capacity does not depend on temperature.
  [[nodiscard]] bool is_straight() const { return straight_; }
  /// True where the melt is isothermal, so that a sharp front lies inside melting cells.
  [[nodiscard]] bool is_sharp() const { return sharp_; }
  [[nodiscard]] bool melts() const { return melts_; }
  /// K, where the solid begins to melt; for a material that melts.
  [[nodiscard]] double melting_point() const { return melting_point_; }
  /// J/kg from wholly solid to wholly liquid, latent and sensible; 0 without melting.
  [[nodiscard]] double melting_enthalpy() const { return liquid_from_ - solid_until_; }
  /// Specific enthalpy from which all is liquid.
  [[nodiscard]] double liquid_from() const { return liquid_from_; }
  [[nodiscard]] double solid_until() const { return solid_until_; }
  /// Smallest sensible heat capacity, J/kg/K: the scale that turns enthalpy errors into kelvin.
  [[nodiscard]] double heat_capacity() const { return heat_capacity_; }

 private:
  struct Point {
    double enthalpy, temperature, fraction;
  };
  void add(double temperature, double enthalpy, double fraction);
  void add_sensible(const cases::Property& capacity, double from, double to, double fraction);
  void build(const cases::Material& material);
  void add_mixed_step(const cases::Material& material, double to, double fraction, double latent);
  void add_table(const cases::Material& material);

  [[nodiscard]] std::size_t segment_of(double enthalpy) const;
  [[nodiscard]] ThermalState on_segment(std::size_t i, double enthalpy) const {
    ThermalState state = segments_[i];
    const double beyond = enthalpy - knots_[i];
    state.temperature += beyond * state.slope;
    state.liquid_fraction += beyond * state.fraction_slope;
    return state;
  }

  std::vector<Point> points_;
  std::vector<double> knots_;
  std::vector<ThermalState> segments_;  ///< state at the left knot, slopes in the segment
  bool straight_ = false;
  bool sharp_ = false;
  bool melts_ = false;
  double melting_point_ = 0;
  double solid_until_ = 0;
  double liquid_from_ = 0;
  double heat_capacity_ = 0;
};

}  // namespace thawline::solver
