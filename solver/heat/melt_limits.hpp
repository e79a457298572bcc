#pragma once

#include "solver/heat/cell_states.hpp"

/// How far Newton and the march may go where T(h) has a kink at the end of an isothermal melt.
namespace thawline::solver {

/// A cell's enthalpy (J) after a Newton step from `from` to `to`: a cell that leaves an isothermal
/// melt is held at its end, where the slope of T(h) changes most.
[[nodiscard]] double held_in_curved_melt(const CellStates& cells, int cell, double from, double to);
[[nodiscard]] inline double held_in_melt(const CellStates& cells, int cell, double from,
                                         double to) {
  return cells.is_straight(cell) ? to : held_in_curved_melt(cells, cell, from, to);
}

/// The same, and a cell that comes to its sharp melt from outside is stopped just inside.
[[nodiscard]] double stopped_at_melt(const CellStates& cells, int cell, double from, double to);

/// After how many seconds a cell that holds `enthalpy` (J) and takes up `watt` comes to the next
/// end of its melt, isothermal or over a range; infinite where none lies ahead.
[[nodiscard]] double time_to_kink(const CellStates& cells, int cell, double enthalpy, double watt);

}  // namespace thawline::solver
