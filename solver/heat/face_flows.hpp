#pragma once

#include <vector>

#include "solver/heat/fronts.hpp"
#include "solver/heat/half_resistance.hpp"
#include "solver/heat/neighbours.hpp"

namespace thawline::solver {

/// Heat across the faces of columns and of the grid, q = (T_a − T_b)/(R_a + R_gap + R_b) with the
/// resistances of both half cells, a the low side; by index into Network::faces.
class FaceFlows {
 public:
  /// Borrows the network.
  FaceFlows(const mesh::Network& network, const std::vector<Neighbours>& neighbours,
            const CellStates& cells);

  /// Takes over the resistances of cells whose fronts or temperatures change them.
  void update_resistances(const CellStates& cells, const Fronts& fronts);
  /// Fills flows and derivatives. With `held` resistances count as if they never changed.
  void evaluate(const CellStates& cells, bool held);
  /// Writes the rates of cells that are not lumped, and adds to those of surfaces.
  void add_to(Rates& rates) const;

  /// Unknowns on either side.
  [[nodiscard]] int a(std::size_t face) const { return ends_[face].a; }
  [[nodiscard]] int b(std::size_t face) const { return ends_[face].b; }
  [[nodiscard]] std::size_t count() const { return ends_.size(); }
  /// ∂(rate)/∂(enthalpy) of a cell through its own resistances, 1/s.
  [[nodiscard]] double own_slope(int cell) const;

  std::vector<double> watt;         ///< from a to b
  std::vector<double> conductance;  ///< W/K
  /// ∂watt/∂(unknown) through the resistances of either side alone, 1/s or W/K.
  std::vector<double> by_a, by_b;

 private:
  /// Half cells are numbered 4 cell + side; the last one, of all surfaces, has no resistance. Those
  /// of columns have their shape in them already, as `cell_shape_`, those of a grid get it here.
  struct Ends {
    int a = 0, b = 0;
    std::size_t half_a = 0, half_b = 0;
    double shape_a = 0, shape_b = 0;
    int gap = -1;
  };
  [[nodiscard]] double resistance(const Ends& ends, double gap) const {
    return ends.shape_a * resistivity_[ends.half_a] + gap +
           ends.shape_b * resistivity_[ends.half_b];
  }

  const mesh::Network& network_;
  PhaseResistances phases_;
  std::vector<Ends> ends_;
  std::vector<std::size_t> at_surface_;  ///< faces with a surface
  std::vector<int> changing_;            ///< cells whose resistances change
  std::vector<char> constant_;           ///< by face: 1 where the conductance never changes
  std::vector<double> cell_shape_;       ///< by half, 1/m; 1 of a grid's
  std::vector<double> resistivity_;      ///< by half: times the shape in `Ends` its resistance
  std::vector<double> by_enthalpy_;      ///< its derivative by the cell's enthalpy
  std::vector<std::array<unsigned, 4>> faces_of_;  ///< by cell and side; one past the end: none
};

}  // namespace thawline::solver
