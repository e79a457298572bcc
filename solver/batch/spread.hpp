#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "solver/batch/paired.hpp"
#include "solver/batch/table_head.hpp"
#include "solver/statistics/sobol_indices.hpp"

namespace thawline::solver::batch {

/// Shares of the cases a quantile bounds: P10, P50, P90.
inline constexpr std::array<double, 3> quantile_shares{0.1, 0.5, 0.9};

/// A hold time with its outcome: cases that never came within count as shorter than any, and those
/// that outlasted the run as longer than any.
struct Held {
  double outcome = 0;  ///< index of the word of the column `outcome`
  double hours = 0;    ///< cut at the end of the run; 0 when never within
};

/// A quantile and its 95 % interval.
struct HeldQuantile {
  Held value;
  Held low, high;
  bool bounded_below = true;  ///< false where there are too few cases for `low`
  bool bounded_above = true;
};

/// How the hold time of one limit spreads within one combination.
struct LimitSpread {
  std::uint64_t ended = 0, outlasted = 0, never_within = 0, failed = 0;
  std::vector<HeldQuantile> quantiles;          ///< as `quantile_shares`; empty without cases
  std::uint64_t rows = 0;                       ///< used for the indices
  std::vector<statistics::SobolIndex> indices;  ///< as `Spread::inputs`; empty when unknown
};

/// The spread of hold times under tolerances.
struct Spread {
  std::vector<std::string> limits;                     ///< as in the columns' paths
  std::vector<std::string> inputs;                     ///< the drawn ones; empty without a ranking
  std::vector<std::vector<LimitSpread>> combinations;  ///< by combination, then limit
  std::vector<std::vector<Paired>> pairs;  ///< by limit: combinations that meet the same samples
};

/// Combinations without contenders are paired up to this many, each with each.
inline constexpr std::uint64_t most_paired = 6;

/// Takes the rows of a whole table in turn and tells how hold times spread. Of a sample made for a
/// ranking, quantiles count the independent cases A and B only. Indices are those of the hold time
/// cut at the end of the run, over the rows of which no case failed. Memory: 9 bytes a case and
/// limit.
class SpreadCollector {
 public:
  explicit SpreadCollector(const TableHead& head);
  /// True when a table of this kind has a spread: it is whole, draws samples and seeks no value.
  [[nodiscard]] static bool applies(const TableHead& head);
  void add(const Row& row);
  [[nodiscard]] Spread spread() const;
  /// By limit: contenders of one combination of what varies, each with each; without contenders,
  /// combinations where there are few. The one that holds longer more often comes first.
  [[nodiscard]] std::vector<std::vector<Paired>> paired(std::uint64_t contenders) const;

 private:
  struct LimitColumns {
    std::size_t outcome = 0, held = 0;
  };
  [[nodiscard]] LimitSpread spread_of(std::uint64_t combination, std::size_t limit) const;

  [[nodiscard]] std::vector<PairMember> members(std::uint64_t combination, std::size_t limit) const;

  std::uint64_t samples_;
  std::uint64_t contenders_;
  std::size_t in_row_;  ///< cases in one row of a sample made for a ranking; 0 for none
  Spread blank_spread_;
  std::vector<LimitColumns> columns_;
  std::vector<std::vector<double>> hours_;          ///< by limit, then case
  std::vector<std::vector<signed char>> outcomes_;  ///< −1: failed
};

}  // namespace thawline::solver::batch
