#pragma once

#include <array>
#include <utility>
#include <vector>

#include "solver/heat/heat_balance.hpp"
#include "speed/peer_march.hpp"

namespace thawline::validation {

/// The matrix of a section's unknowns, cells and then surfaces,
///
///     cells:     own I − scale ∂(rates)/∂(unknowns)
///     surfaces:  −∂(left over)/∂(unknowns)
///
/// by columns, with its pattern found once. Analytic: T'(H), conductances, how the resistances of
/// melting cells follow their enthalpy, and long-wave links by either end. Columns of cells outside
/// the grid (cans in rings) are without their fronts.
class SectionMatrix {
 public:
  SectionMatrix(const solver::HeatBalance& balance, SUNContext context);

  /// Fills `matrix`, a matrix of this pattern, from the state that `balance` evaluated last with
  /// these couplings.
  void fill(SUNMatrix matrix, const solver::HeatBalance& balance, const solver::State& state,
            const std::vector<double>& couplings, double own, double scale) const;

  /// Takes the rows and columns of surfaces out of `whole`.
  void take_surfaces(SUNMatrix surfaces, SUNMatrix whole) const;

  [[nodiscard]] Matrix make_whole() const;
  [[nodiscard]] Matrix make_surfaces() const;

 private:
  struct Entry {
    sunindextype aa, ba, ab, bb;  ///< row, then column; −1 towards the outside
  };
  [[nodiscard]] sunindextype place(int row, int column) const;

  SUNContext context_;
  int cells_, surfaces_;
  std::vector<std::pair<int, int>> pairs_;
  std::vector<std::vector<int>> rows_;  ///< by column
  std::vector<sunindextype> start_, diagonal_;
  std::vector<Entry> entries_;  ///< by pair
};

/// KLU for a matrix: its pattern is analysed at the first factoring, later ones reuse the pivots.
[[nodiscard]] LinearSolver make_klu(N_Vector like, SUNMatrix matrix,
                                    PeerSettings::Ordering ordering, SUNContext context);

}  // namespace thawline::validation
