#include "solver/fit/least_squares.hpp"

#include <ceres/ceres.h>

#include <memory>

#include "solver/fit/correlated_errors.hpp"

namespace thawline::solver::fit {

namespace {

/// Evaluates all residuals at once whenever Ceres moves.
class Evaluation : public ceres::EvaluationCallback {
 public:
  Evaluation(const Problem& problem, const std::vector<Errors>& errors, Eigen::VectorXd& x,
             Slopes kind)
      : problem_(&problem), errors_(&errors), x_(&x), kind_(kind) {}

  void PrepareForEvaluation(bool slopes, bool moved) override {
    if (!moved && has_value_ && (has_slopes_ || !slopes)) return;
    const auto found = residuals_at(*problem_, *x_, slopes ? kind_ : Slopes::none);
    has_value_ = found.has_value();
    has_slopes_ = found && slopes;
    if (found) now_ = whiten(*problem_, *x_, *found, *errors_);
  }

  [[nodiscard]] bool has_value() const { return has_value_; }
  [[nodiscard]] const Whitened& now() const { return now_; }

 private:
  const Problem* problem_;
  const std::vector<Errors>* errors_;
  Eigen::VectorXd* x_;
  Slopes kind_;
  Whitened now_;
  bool has_value_ = false, has_slopes_ = false;
};

/// One row of what was evaluated.
class Row : public ceres::CostFunction {
 public:
  Row(const Evaluation& evaluation, Eigen::Index row, std::size_t unknowns)
      : evaluation_(&evaluation), row_(row) {
    set_num_residuals(1);
    mutable_parameter_block_sizes()->assign(unknowns, 1);
  }

  bool Evaluate(double const* const* /*x*/, double* residual, double** slopes) const override {
    if (!evaluation_->has_value()) return false;
    residual[0] = evaluation_->now().residual[row_];
    if (slopes == nullptr) return true;
    for (std::size_t k = 0; k < parameter_block_sizes().size(); ++k) {
      if (slopes[k] == nullptr) continue;
      slopes[k][0] = evaluation_->now().slope(row_, static_cast<Eigen::Index>(k));
    }
    return true;
  }

 private:
  const Evaluation* evaluation_;
  Eigen::Index row_;
};

}  // namespace

Minimum least_squares(const Problem& problem, const Eigen::VectorXd& start,
                      const std::vector<Errors>& errors, int most_iterations, double tolerance,
                      Slopes slopes) {
  Minimum out;
  out.x = start;
  Evaluation evaluation(problem, errors, out.x, slopes);
  evaluation.PrepareForEvaluation(false, true);
  if (!evaluation.has_value()) return out;

  ceres::Problem::Options keep;
  keep.evaluation_callback = &evaluation;
  ceres::Problem rows(keep);
  std::vector<double*> blocks;
  for (Eigen::Index k = 0; k < out.x.size(); ++k) blocks.push_back(&out.x[k]);
  constexpr double far = 2.5;
  const Eigen::Index plain_from = evaluation.now().begin[problem.series.size()];
  for (Eigen::Index i = 0; i < evaluation.now().residual.size(); ++i) {
    auto row = std::make_unique<Row>(evaluation, i, blocks.size());
    auto loss = i < plain_from ? std::make_unique<ceres::HuberLoss>(far) : nullptr;
    rows.AddResidualBlock(row.release(), loss.release(), blocks);
  }
  for (Eigen::Index k = 0; k < out.x.size(); ++k) {
    const auto& unknown = problem.unknowns[static_cast<std::size_t>(k)];
    rows.SetParameterLowerBound(&out.x[k], 0, unknown.low);
    rows.SetParameterUpperBound(&out.x[k], 0, unknown.high);
  }
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::DENSE_QR;
  options.max_num_iterations = most_iterations;
  options.function_tolerance = tolerance;
  options.parameter_tolerance = 1e-5;
  options.logging_type = ceres::SILENT;
  options.num_threads = 1;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &rows, &summary);
  out.found = summary.IsSolutionUsable();
  out.cost = summary.final_cost;
  return out;
}

}  // namespace thawline::solver::fit
