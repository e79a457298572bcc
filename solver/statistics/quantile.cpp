#include "solver/statistics/quantile.hpp"

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <cmath>

namespace thawline::solver::statistics {

QuantileRanks quantile_ranks(std::size_t count, double share) {
  const auto n = static_cast<double>(count);
  QuantileRanks ranks;
  // A hair less, as 0.1 of 10 must not become the second.
  ranks.at = std::clamp<std::size_t>(static_cast<std::size_t>(std::ceil(n * share - 1e-9)), 1,
                                     std::max<std::size_t>(count, 1));
  const boost::math::binomial below(n, share);
  // P(low-th value ≤ quantile ≤ high-th value) = cdf(high − 1) − cdf(low − 1) ≥ 0.95.
  std::size_t low = ranks.at;
  while (low > 0 && cdf(below, static_cast<double>(low) - 1) > 0.025) --low;
  std::size_t high = ranks.at;
  while (high <= count && cdf(below, static_cast<double>(high) - 1) < 0.975) ++high;
  ranks.low = low;
  ranks.high = high;
  return ranks;
}

}  // namespace thawline::solver::statistics
