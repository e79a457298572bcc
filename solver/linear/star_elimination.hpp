#pragma once

#include <array>
#include <utility>
#include <vector>

#include "solver/linear/grid_matrix.hpp"
#include "solver/linear/tensor_grid.hpp"

namespace thawline::solver {

/// Takes the surfaces out of a system of conductances. A surface has no heat capacity and a few
/// arms; it is replaced by conductances between the ends of its arms, g_a g_b / Σ g (star and
/// polygon), which is exact. What is left are the cells of the grid, joined to their neighbours,
/// and a few others, numbered behind them.
class StarElimination {
 public:
  /// Two of the others that are joined.
  struct Joint {
    int first = 0, second = 0;
  };

  /// `pairs`: unknowns joined by a conductance, second −1 for the outside. Unknowns from
  /// `surfaces_from` on may be eliminated where they have one cell of the grid and at most one
  /// other surface as neighbours.
  StarElimination(int unknowns, const std::vector<std::pair<int, int>>& pairs,
                  const TensorGrid& grid, int surfaces_from);

  [[nodiscard]] int cells() const { return cells_; }
  [[nodiscard]] int others() const { return others_; }
  [[nodiscard]] const std::vector<Joint>& joints() const { return joints_; }
  /// An empty matrix with the pattern of the grid and its border.
  [[nodiscard]] const GridMatrix& pattern() const { return pattern_; }

  /// Takes over conductances by pair, and D and the held unknowns by unknown, into `a`, whose
  /// border and cells that touch a held one are counted with; and the matrix of the others as
  /// diagonal and conductance by joint.
  void reduce(const std::vector<double>& conductances, const std::vector<double>& diagonal,
              const std::vector<char>& fixed, GridMatrix& a, std::vector<double>& other_diagonal,
              std::vector<double>& by_joint);

  /// The right-hand side of what is left.
  void gather(const std::vector<double>& b, std::vector<double>& reduced);
  /// The solution of all unknowns from that of what is left.
  void spread(const std::vector<double>& reduced, std::vector<double>& x);

 private:
  struct Arm {
    int end = -1;           ///< what is left, or a surface eliminated later; −1: the outside
    std::size_t value = 0;  ///< its conductance
  };
  struct Star {
    int number = 0;
    std::size_t first = 0, count = 0;  ///< arms
    std::size_t polygon = 0;           ///< where the sums of its polygon begin, by pair of arms
  };
  class Builder;
  void sum_conductances(const std::vector<double>& conductances);
  void reduce_grid(GridMatrix& a);

  int cells_ = 0, others_ = 0;
  std::vector<int> number_;  ///< by unknown: cells, then others, then surfaces as eliminated
  GridMatrix pattern_;
  std::vector<Joint> joints_;
  std::vector<Star> stars_;
  std::vector<Arm> arms_;
  std::vector<std::size_t> polygon_;
  std::vector<std::size_t> target_;  ///< by pair: which sum it counts to
  std::vector<int> only_pair_;       ///< by sum: the one pair that counts to it, −1
  std::vector<std::size_t> shared_;  ///< pairs that count to a sum with others
  std::vector<std::size_t> border_value_, joint_value_;
  /// Sums of conductances, W/K: along x and along z by cell, to the outside, of border, joints and
  /// arms; the last is for what counts nowhere.
  std::vector<double> value_;
  std::vector<double> inverse_, right_;  ///< 1/Σ g by star; by number
  std::vector<char> held_;               ///< by number
};

}  // namespace thawline::solver
