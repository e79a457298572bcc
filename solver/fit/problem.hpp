#pragma once

#include <Eigen/Dense>
#include <functional>
#include <optional>
#include <vector>

/// Estimation of unknowns from measured series: numbers only. It knows no file and no box.
namespace thawline::solver::fit {

/// What is known of an unknown beforehand: a normal distribution on its natural scale.
struct Prior {
  double mean = 0, spread = 0;
};

/// A number sought, on its natural scale (a logarithm where only its size matters).
struct Unknown {
  double start = 0, low = 0, high = 0;
  double step = 0;  ///< of differences, > 0
  std::optional<Prior> prior;
  int offset_of = -1;  ///< series to whose every prediction it is added; the model does not see it
};

/// Measured values in time; errors of neighbours are correlated.
struct Series {
  std::vector<double> time;      ///< s, increasing
  std::vector<double> measured;  ///< same length
};

/// A single measured value with independent error.
struct Datum {
  double measured = 0, spread = 0;
};

/// What a model says to the measured values, in the same order.
struct Predicted {
  std::vector<std::vector<double>> series;
  std::vector<double> data;
};

/// Predictions at given unknowns; empty where the model has none. Called from several threads.
using Model = std::function<std::optional<Predicted>(const Eigen::VectorXd&)>;

struct Problem {
  std::vector<Unknown> unknowns;
  std::vector<Series> series;
  std::vector<Datum> data;
  Model model;
  Model rough;  ///< a quicker one for the search from far-off starts; `model` serves when empty
};

/// Residuals of series follow an AR(1) process in continuous time: standard deviation and the time
/// over which the correlation falls to 1/e.
struct Errors {
  double deviation = 1;
  double memory = 0;  ///< s; 0: independent
};

/// Residuals (measured less predicted, offsets included) and their derivatives.
struct Residuals {
  std::vector<Eigen::VectorXd> series;
  Eigen::VectorXd data;
  std::vector<Eigen::MatrixXd> series_slope;  ///< ∂residual/∂unknown; empty when not asked for
  Eigen::MatrixXd data_slope;
  bool has_slopes = false;
};

enum class Slopes { none, forward, central };

/// Evaluates the model, slopes by differences on several threads. Empty when the model has no
/// answer.
[[nodiscard]] std::optional<Residuals> residuals_at(const Problem& problem,
                                                    const Eigen::VectorXd& x, Slopes slopes);

}  // namespace thawline::solver::fit
