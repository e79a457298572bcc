#pragma once

#include <Eigen/Dense>
#include <utility>
#include <vector>

namespace thawline::solver {

/// Two hubs that touch.
using HubPair = std::pair<int, int>;

/// Solves with the small matrix of the hubs. Most hubs touch few others and a few touch all, so
/// elimination in the order of how many others a hub touches fills in little; what is filled in is
/// found once. Rows are dominated by their diagonal; where a pivot is lost in its row all the same,
/// the whole is solved with row exchanges. Allocates nothing after construction.
class HubElimination {
 public:
  /// Entries of the matrix outside its diagonal are zero but for the `pairs` (either way round).
  HubElimination(int hubs, const std::vector<HubPair>& pairs);

  void factor(const Eigen::MatrixXd& matrix);
  /// Overwrites the right-hand side with the solution.
  void solve(Eigen::VectorXd& x);

 private:
  struct Span {
    std::size_t from = 0, to = 0;
  };
  [[nodiscard]] bool eliminate();

  std::vector<int> order_;
  /// Of the k-th hub eliminated: those after it that it touches, a stretch of `later_`.
  std::vector<Span> spans_;
  std::vector<int> later_;
  Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor> factors_;
  Eigen::VectorXd inverse_, work_;
  Eigen::PartialPivLU<Eigen::MatrixXd> exchanged_;
  bool exchanges_ = false;
};

}  // namespace thawline::solver
