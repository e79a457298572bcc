#pragma once

#include <vector>

#include "solver/heat/cell_states.hpp"
#include "solver/heat/front.hpp"

namespace thawline::solver {

/// Resistance of a cell's halves by its phases, by how these lie, and by temperature.
class PhaseResistances {
 public:
  explicit PhaseResistances(const mesh::Network& network);

  /// Whether the cell's halves always have the same.
  [[nodiscard]] bool are_constant(int cell, const CellStates& cells) const {
    return !cells.curve(cell).melts() && materials_[cells.material(cell)].fixed;
  }
  /// Of a cell whose liquid lies at `place` along the axis that is asked for.
  [[nodiscard]] HalfResistances of(int cell, FrontPlace place, const CellStates& cells) const;

 private:
  /// 1/k of the phases, m K/W; fixed where k does not depend on temperature.
  struct Phases {
    double solid = 0, liquid = 0;
    bool fixed = false;
  };
  /// Of a material whose phases are not fixed.
  [[nodiscard]] Phases phases(std::size_t material, double temperature, double fraction) const;

  const std::vector<mesh::CellMaterial>& properties_;
  std::vector<Phases> materials_;  ///< where they are fixed
};

}  // namespace thawline::solver
