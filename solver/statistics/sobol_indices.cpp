#include "solver/statistics/sobol_indices.hpp"

#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>

namespace thawline::solver::statistics {

namespace {

struct Shares {
  std::vector<double> first, total;
};

/// The estimators over the rows named by `rows`; empty when the answer does not vary over them.
Shares shares_over(const std::vector<double>& answers, std::size_t inputs,
                   const std::vector<std::size_t>& rows) {
  const std::size_t width = inputs + 2;
  const auto n = static_cast<double>(rows.size());
  double mean = 0;
  for (const std::size_t row : rows) {
    mean += (answers[row * width] + answers[row * width + 1]) / (2 * n);
  }
  double variance = 0;
  Shares shares{std::vector<double>(inputs, 0), std::vector<double>(inputs, 0)};
  for (const std::size_t row : rows) {
    const double* at = &answers[row * width];
    const double a = at[0] - mean;
    const double b = at[1] - mean;
    variance += (a * a + b * b) / (2 * n - 1);
    for (std::size_t i = 0; i < inputs; ++i) {
      const double ab = at[i + 2] - mean;
      shares.first[i] += b * (ab - a) / n;
      shares.total[i] += (a - ab) * (a - ab) / (2 * n);
    }
  }
  // Rounding leaves some variance where there is none.
  if (!(variance > 1e-24 * (1 + mean * mean))) return {};
  for (std::size_t i = 0; i < inputs; ++i) {
    shares.first[i] /= variance;
    shares.total[i] /= variance;
  }
  return shares;
}

Estimated with_interval(double value, std::vector<double>& drawn) {
  std::sort(drawn.begin(), drawn.end());
  const auto place = [&drawn](double share) {
    return drawn[static_cast<std::size_t>(
        std::lround(share * static_cast<double>(drawn.size() - 1)))];
  };
  return {value, place(0.025), place(0.975)};
}

/// Enough for the percentiles, and no more work than a few seconds.
std::size_t resamples_for(std::size_t rows, std::size_t inputs) {
  const std::size_t affordable = 400'000'000 / (rows * (inputs + 2));
  return std::clamp<std::size_t>(affordable, 100, 1000);
}

}  // namespace

std::vector<SobolIndex> sobol_indices(const std::vector<double>& answers, std::size_t inputs) {
  const std::size_t count = answers.size() / (inputs + 2);
  if (count < 2) return {};
  std::vector<std::size_t> rows(count);
  for (std::size_t j = 0; j < count; ++j) rows[j] = j;
  const Shares shares = shares_over(answers, inputs, rows);
  if (shares.first.empty()) return {};
  std::vector<std::vector<double>> first(inputs);
  std::vector<std::vector<double>> total(inputs);
  boost::random::mt19937_64 bits(1);
  const boost::random::uniform_int_distribution<std::size_t> any_row(0, count - 1);
  const std::size_t resamples = resamples_for(count, inputs);
  for (std::size_t k = 0; k < resamples; ++k) {
    for (auto& row : rows) row = any_row(bits);
    const Shares drawn = shares_over(answers, inputs, rows);
    if (drawn.first.empty()) continue;
    for (std::size_t i = 0; i < inputs; ++i) {
      first[i].push_back(drawn.first[i]);
      total[i].push_back(drawn.total[i]);
    }
  }
  std::vector<SobolIndex> indices;
  for (std::size_t i = 0; i < inputs; ++i) {
    if (first[i].empty()) return {};
    indices.push_back(
        {with_interval(shares.first[i], first[i]), with_interval(shares.total[i], total[i])});
  }
  return indices;
}

}  // namespace thawline::solver::statistics
