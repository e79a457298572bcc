#pragma once

#include <utility>
#include <vector>

#include "solver/linear/conductance_solver.hpp"
#include "solver/linear/sparse_factors.hpp"

namespace thawline::solver {

/// Sparse Cholesky of all unknowns as they are, the pattern analysed once.
class CholeskySolver : public ConductanceSolver {
 public:
  /// `pairs`: unknowns joined by a conductance, second −1 for the outside.
  CholeskySolver(int unknowns, std::vector<std::pair<int, int>> pairs);

  [[nodiscard]] bool prepare(const std::vector<double>& conductances,
                             const std::vector<double>& diagonal,
                             const std::vector<char>& held) override;
  [[nodiscard]] bool solve(const std::vector<double>& b, std::vector<double>& x,
                           double tolerance) override;

 private:
  static constexpr std::size_t nowhere = static_cast<std::size_t>(-1);
  std::vector<std::pair<int, int>> pairs_;
  std::vector<std::size_t> place_;  ///< by pair, among those that differ
  std::vector<double> diagonal_, conductance_;
  SparseFactors factors_;
};

}  // namespace thawline::solver
