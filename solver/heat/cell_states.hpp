#pragma once

#include <vector>

#include "mesh/network.hpp"
#include "solver/heat/enthalpy_curve.hpp"
#include "solver/heat/mixed_cell.hpp"
#include "solver/heat/state.hpp"

namespace thawline::solver {

/// Temperature and liquid fraction of every cell by its enthalpy, with their derivatives: T(H) and
/// f(H) of its material, or of the mixed cell while a front is inside it.
class CellStates {
 public:
  explicit CellStates(const mesh::Network& network);

  [[nodiscard]] int cells() const { return static_cast<int>(mass_.size()); }
  [[nodiscard]] const EnthalpyCurve& curve(int cell) const { return curves_[material(cell)]; }
  [[nodiscard]] std::size_t material(int cell) const {
    return material_[static_cast<std::size_t>(cell)];
  }
  [[nodiscard]] double mass(int cell) const { return mass_[static_cast<std::size_t>(cell)]; }
  /// Whether T(H) is one straight line.
  [[nodiscard]] bool is_straight(int cell) const {
    return straight_[static_cast<std::size_t>(cell)] != 0;
  }

  /// State of a cell that holds `enthalpy`, J.
  [[nodiscard]] ThermalState state_of(double enthalpy, int cell) const {
    const double h = enthalpy / mass(cell);
    const MixedCell& mixed_cell = mixed[static_cast<std::size_t>(cell)];
    return mixed_cell.holds(h) ? mixed_cell.at(h) : curve(cell).at(h);
  }

  /// Takes over the state of all cells and surfaces.
  void update(const State& state);

  /// By unknown, cells then hubs: K, and its derivative by the unknown (K/J of cells, 1 of
  /// surfaces). Entries of lumped hubs are not used.
  std::vector<double> temperature, slope;
  /// By unknown: liquid fraction, and its derivative by enthalpy, 1/J; 0 of hubs.
  std::vector<double> fraction, fraction_slope;
  std::vector<MixedCell> mixed;  ///< by cell, as fronts were placed last

 private:
  std::vector<EnthalpyCurve> curves_;  ///< by material
  std::vector<std::size_t> material_;  ///< by cell
  std::vector<double> mass_;           ///< kg
  std::vector<std::size_t> piece_;     ///< of its curve, where each cell was last
  std::vector<char> straight_;
  std::vector<double> zero_;  ///< K, temperature of a straight cell that holds nothing
};

}  // namespace thawline::solver
