#pragma once

#include <array>
#include <vector>

#include "solver/heat/cell_states.hpp"
#include "solver/heat/front.hpp"
#include "solver/heat/neighbours.hpp"

namespace thawline::solver {

/// Where the fronts of sharply melting cells stand, by cell and axis. See EQUATIONS.md, Front
/// inside a cell.
class Fronts {
 public:
  /// Borrows `neighbours`.
  Fronts(const CellStates& cells, const std::vector<Neighbours>& neighbours);

  /// Whether any cell melts at one temperature, lumped ones included.
  [[nodiscard]] bool any() const { return any_sharp_; }
  [[nodiscard]] FrontPlace place(int cell, std::size_t axis) const {
    return places_[static_cast<std::size_t>(cell)][axis];
  }

  /// Decides for each sharply melting cell on which side its liquid lies, and how warm and cold its
  /// parts are beside a front in it or next to it (`CellStates::mixed`).
  void place_all(const State& state, CellStates& cells);

 private:
  [[nodiscard]] int reach(int cell, std::size_t side, const CellStates& cells) const;
  [[nodiscard]] FrontSides sides_of(int cell, std::size_t axis, const CellStates& cells) const;
  [[nodiscard]] FrontSides sides_of_mixed(int cell, std::size_t axis, int to_liquid, int to_solid,
                                          const CellStates& cells) const;
  [[nodiscard]] FrontSides sides_of_pure(int cell, std::size_t axis, int to_liquid, int to_solid,
                                         const CellStates& cells) const;
  [[nodiscard]] double half_cell_drop(int cell, std::size_t axis, int end, int holder, double part,
                                      const CellStates& cells) const;

  const std::vector<Neighbours>& neighbours_;
  bool any_sharp_ = false;
  std::vector<int> sharp_;  ///< cells that are not lumped, rising
  std::vector<std::array<FrontPlace, 2>> places_;
  std::vector<std::array<int, 4>> reach_;  ///< cells to the other phase, by side
  std::vector<FrontSides> began_;          ///< when each cell was last of one phase
};

}  // namespace thawline::solver
