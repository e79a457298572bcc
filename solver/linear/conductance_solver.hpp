#pragma once

#include <vector>

namespace thawline::solver {

/// (D + K) x = b with K the graph Laplacian of conductances (W/K) and D a diagonal ≥ 0, some
/// unknowns held at zero: symmetric and positive definite.
class ConductanceSolver {
 public:
  ConductanceSolver() = default;
  ConductanceSolver(const ConductanceSolver&) = delete;
  ConductanceSolver& operator=(const ConductanceSolver&) = delete;
  ConductanceSolver(ConductanceSolver&&) = delete;
  ConductanceSolver& operator=(ConductanceSolver&&) = delete;
  virtual ~ConductanceSolver() = default;

  /// New values: a conductance for each pair, D by unknown, and which unknowns are held at zero.
  /// False when that cannot be solved.
  [[nodiscard]] virtual bool prepare(const std::vector<double>& conductances,
                                     const std::vector<double>& diagonal,
                                     const std::vector<char>& held) = 0;
  /// Solves for `b`, whose entries at held unknowns must be 0, down to `tolerance` times its size
  /// where it iterates. False when that stalls.
  [[nodiscard]] virtual bool solve(const std::vector<double>& b, std::vector<double>& x,
                                   double tolerance) = 0;
  /// Iterations so far.
  [[nodiscard]] virtual long iterations() const { return 0; }
};

}  // namespace thawline::solver
