#pragma once

#include <memory>
#include <utility>
#include <vector>

namespace thawline::solver {

/// Sparse Cholesky factors of a symmetric positive definite matrix whose pattern is analysed once.
class SparseFactors {
 public:
  /// `pairs`: rows that are joined, each pair once.
  SparseFactors(int rows, const std::vector<std::pair<int, int>>& pairs);
  ~SparseFactors();
  SparseFactors(SparseFactors&&) noexcept;
  SparseFactors& operator=(SparseFactors&&) noexcept;
  SparseFactors(const SparseFactors&) = delete;
  SparseFactors& operator=(const SparseFactors&) = delete;

  /// Factors D − K with conductances K by pair.
  void factor(const std::vector<double>& diagonal, const std::vector<double>& conductances);
  [[nodiscard]] bool good() const;
  /// Overwrites the right-hand side of all rows.
  void solve(double* x) const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace thawline::solver
