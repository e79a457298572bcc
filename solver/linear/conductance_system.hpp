#pragma once

#include <memory>
#include <utility>
#include <vector>

#include "solver/linear/sparse_matrix.hpp"

namespace thawline::solver {

class Multigrid;

enum class LinearMethod { by_size, direct, iterative };

/// Unknowns up to which Cholesky is faster than conjugate gradients with multigrid (measured, see
/// EQUATIONS.md).
inline constexpr int direct_up_to = 50000;

/// (D + K) x = b with K the graph Laplacian of conductances (W/K) and D a diagonal ≥ 0, some
/// unknowns held at zero. Solved by sparse Cholesky with the pattern analysed once, or by flexible
/// conjugate gradients preconditioned by aggregation multigrid; which, is decided here by size.
class ConductanceSystem {
 public:
  ConductanceSystem(int unknowns, std::vector<std::pair<int, int>> pairs,
                    LinearMethod method = LinearMethod::by_size);
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

  /// Σ of the conductances at each unknown, W/K.
  [[nodiscard]] const std::vector<double>& conductance_sums() const { return sums_; }
  [[nodiscard]] bool is_direct() const { return direct_; }
  [[nodiscard]] long iterations() const { return iterations_; }
  [[nodiscard]] long solves() const { return solves_; }

 private:
  void make_multigrid(const std::vector<double>& conductances);
  void factor();
  bool iterate(const std::vector<double>& b, std::vector<double>& x, double tolerance);

  struct Entry {
    int first = -1, second = -1;  ///< positions in the matrix
  };
  std::vector<std::pair<int, int>> pairs_;
  std::vector<Entry> entries_;
  SparseMatrix matrix_;
  std::vector<char> fixed_;
  std::vector<double> sums_;
  bool direct_ = true;
  bool factored_ = false;
  struct Cholesky;
  std::unique_ptr<Cholesky> cholesky_;
  std::unique_ptr<Multigrid> multigrid_;
  std::vector<double> r_, z_, p_, q_, old_r_;
  long iterations_ = 0, solves_ = 0;
};

}  // namespace thawline::solver
