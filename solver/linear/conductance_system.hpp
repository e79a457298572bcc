#pragma once

#include <memory>
#include <utility>
#include <vector>

#include "solver/linear/sparse_factors.hpp"
#include "solver/linear/star_elimination.hpp"

namespace thawline::solver {

class GridMultigrid;

enum class LinearMethod { by_size, direct, iterative };

/// Unknowns up to which Cholesky is faster than conjugate gradients with multigrid (measured, see
/// SECTIONS.md).
inline constexpr int direct_up_to = 1000;

/// (D + K) x = b with K the graph Laplacian of conductances (W/K) and D a diagonal ≥ 0, some
/// unknowns held at zero. Solved by sparse Cholesky with the pattern analysed once, or by conjugate
/// gradients preconditioned by multigrid on the grid; which, is decided here by size.
class ConductanceSystem {
 public:
  /// Unknowns from `surfaces_from` on have D = 0 and are never held.
  ConductanceSystem(int unknowns, std::vector<std::pair<int, int>> pairs, const TensorGrid& grid,
                    int surfaces_from, LinearMethod method = LinearMethod::by_size);
  ~ConductanceSystem();
  ConductanceSystem(const ConductanceSystem&) = delete;
  ConductanceSystem& operator=(const ConductanceSystem&) = delete;
  ConductanceSystem(ConductanceSystem&&) = delete;
  ConductanceSystem& operator=(ConductanceSystem&&) = delete;

  /// New values: a conductance for each pair, D by unknown, and which unknowns are held at zero.
  void set(const std::vector<double>& conductances, const std::vector<double>& diagonal,
           const std::vector<char>& fixed);
  /// Solves for `b`, whose entries at held unknowns must be 0, down to `tolerance` times its size.
  /// False when the iteration stalls.
  bool solve(const std::vector<double>& b, std::vector<double>& x, double tolerance);

  /// Σ of the conductances at an unknown from `surfaces_from` on, W/K.
  [[nodiscard]] double conductance_sum(int surface) const {
    return sums_[static_cast<std::size_t>(surface - surfaces_from_)];
  }
  [[nodiscard]] bool is_direct() const { return !iterative_; }
  [[nodiscard]] long iterations() const { return iterations_; }
  [[nodiscard]] long solves() const { return solves_; }

 private:
  struct Direct;
  struct Iterative;
  bool iterate(double tolerance);

  int surfaces_from_;
  std::vector<std::pair<int, int>> pairs_;
  std::vector<std::size_t> at_surface_;  ///< pairs that touch a surface
  std::vector<double> sums_;
  std::unique_ptr<Direct> direct_;
  std::unique_ptr<Iterative> iterative_;
  const std::vector<double>* conductances_ = nullptr;
  const std::vector<double>* diagonal_ = nullptr;
  const std::vector<char>* fixed_ = nullptr;
  bool factored_ = false, good_ = false;
  long iterations_ = 0, solves_ = 0;
};

}  // namespace thawline::solver
