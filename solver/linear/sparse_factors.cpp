#include "solver/linear/sparse_factors.hpp"

#include <Eigen/SparseCholesky>

namespace thawline::solver {

struct SparseFactors::Parts {
  Eigen::SparseMatrix<double> lower;
  Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factors;
  Eigen::VectorXd inverse;  ///< 1/D of L D Lᵀ
  Eigen::VectorXd permuted;
  std::vector<Eigen::Index> diagonal, pair;  ///< positions of their values in `lower`
};

SparseFactors::~SparseFactors() = default;
SparseFactors::SparseFactors(SparseFactors&&) noexcept = default;
SparseFactors& SparseFactors::operator=(SparseFactors&&) noexcept = default;

SparseFactors::SparseFactors(int rows, const std::vector<std::pair<int, int>>& pairs)
    : parts_(std::make_unique<Parts>()) {
  std::vector<Eigen::Triplet<double>> triplets;
  triplets.reserve(static_cast<std::size_t>(rows) + pairs.size());
  for (int i = 0; i < rows; ++i) triplets.emplace_back(i, i, 1.0);
  for (const auto& [a, b] : pairs) triplets.emplace_back(std::max(a, b), std::min(a, b), -1.0);
  auto& lower = parts_->lower;
  lower.resize(rows, rows);
  lower.setFromTriplets(triplets.begin(), triplets.end());
  parts_->factors.analyzePattern(lower);
  parts_->permuted.resize(rows);
  const auto position = [&](int row, int column) {
    return &lower.coeffRef(row, column) - lower.valuePtr();
  };
  for (int i = 0; i < rows; ++i) parts_->diagonal.push_back(position(i, i));
  for (const auto& [a, b] : pairs) parts_->pair.push_back(position(std::max(a, b), std::min(a, b)));
}

void SparseFactors::factor(const std::vector<double>& diagonal,
                           const std::vector<double>& conductances) {
  double* values = parts_->lower.valuePtr();
  for (std::size_t i = 0; i < diagonal.size(); ++i) values[parts_->diagonal[i]] = diagonal[i];
  for (std::size_t k = 0; k < conductances.size(); ++k) {
    values[parts_->pair[k]] = -conductances[k];
  }
  if (diagonal.empty()) return;
  parts_->factors.factorize(parts_->lower);
  parts_->inverse = parts_->factors.vectorD().cwiseInverse();
}

bool SparseFactors::good() const {
  return parts_->diagonal.empty() || parts_->factors.info() == Eigen::Success;
}

void SparseFactors::solve(double* x) const {
  const auto n = static_cast<Eigen::Index>(parts_->diagonal.size());
  if (n == 0) return;
  // As SimplicialLDLT::solve does it, but without its copies.
  const auto& factors = parts_->factors;
  Eigen::Map<Eigen::VectorXd> all(x, n);
  Eigen::VectorXd& permuted = parts_->permuted;
  permuted.noalias() = factors.permutationP() * all;
  factors.matrixL().solveInPlace(permuted);
  permuted = parts_->inverse.cwiseProduct(permuted);
  factors.matrixU().solveInPlace(permuted);
  all.noalias() = factors.permutationPinv() * permuted;
}

}  // namespace thawline::solver
