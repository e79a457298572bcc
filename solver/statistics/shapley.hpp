#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <vector>

namespace thawline::solver::statistics {

/// Values of a function of subsets, by the bits of the subset; empty where there is none.
using SubsetValues = std::map<std::uint64_t, std::optional<double>>;

/// A difference shared out.
struct Shares {
  bool possible = false;      ///< false: every order meets a subset without a value
  double from = 0, to = 0;    ///< of the empty and of the full subset
  std::vector<double> share;  ///< by player; they sum to `to` − `from`
  std::vector<double> error;  ///< standard errors; empty where all orders were counted
  double orders = 0;          ///< counted
  double left_out = 0;        ///< orders that meet a subset without a value
};

/// Most players for which all subsets are looked at.
inline constexpr std::size_t most_exact = 10;

/// Shapley values (L. S. Shapley, Contributions to the Theory of Games II, 1953, 307-317): the mean
/// over all orders of what a player adds to those before it. Where some subsets have no value the
/// mean is over the orders that avoid them, so that shares still sum to the difference. `players` ≤
/// `most_exact`; `values` holds all 2^players subsets.
[[nodiscard]] Shares shapley(std::size_t players, const SubsetValues& values);

/// Random orders of `players` (up to 63), each with its reverse, which steadies the mean; the same
/// for the same seed.
[[nodiscard]] std::vector<std::vector<std::size_t>> random_orders(std::size_t players,
                                                                  std::size_t count,
                                                                  std::uint64_t seed);

/// The subsets that orders pass through, the empty and the full one included.
[[nodiscard]] std::vector<std::uint64_t> subsets_of(
    const std::vector<std::vector<std::size_t>>& orders);

/// The mean over some orders, with its standard error from pairs of an order and its reverse.
[[nodiscard]] Shares shapley(std::size_t players,
                             const std::vector<std::vector<std::size_t>>& orders,
                             const SubsetValues& values);

}  // namespace thawline::solver::statistics
