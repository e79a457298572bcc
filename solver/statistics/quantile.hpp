#pragma once

#include <cstddef>
#include <vector>

namespace thawline::solver::statistics {

/// Ranks from 1 in a sample put in order; 0 stands before the first, `count` + 1 after the last.
struct QuantileRanks {
  std::size_t at = 0;             ///< the quantile itself
  std::size_t low = 0, high = 0;  ///< its 95 % interval
};

/// Where the quantile of `share` (0 to 1, ends excluded) lies among `count` values: the smallest
/// value that at least this share of them do not exceed (R. J. Hyndman, Y. Fan, The American
/// Statistician 50 (1996) 361-365, definition 1; no value is made up between two). The interval
/// holds for any distribution by the binomial law of how many values lie below (W. J. Conover,
/// Practical Nonparametric Statistics, 3.2, from memory), and is on the wide side for a Latin
/// hypercube or a Sobol sequence.
[[nodiscard]] QuantileRanks quantile_ranks(std::size_t count, double share);

}  // namespace thawline::solver::statistics
