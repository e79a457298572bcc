#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "solver/batch/column.hpp"

namespace thawline::solver::batch {

/// One case of a pair: its outcome as the column `outcome` has it, `blank` where it failed, and the
/// hours held.
struct PairMember {
  double outcome = blank;
  double hours = 0;
};

/// A quantile of a difference. Where one of the two outlasted its run it is only a bound.
struct PairedQuantile {
  double hours = 0;
  bool at_least = false, at_most = false;
};

/// How two combinations compare over the samples they share.
struct Paired {
  std::uint64_t first = 0, second = 0;    ///< combinations, from 0
  std::uint64_t pairs = 0;                ///< of which neither failed
  std::uint64_t longer = 0, shorter = 0;  ///< the first held longer, or less long
  std::uint64_t alike = 0;                ///< both never within, or to the last digit the same
  std::uint64_t unknown = 0;              ///< both outlasted their run
  /// Of the first's hours less the second's, as `quantile_shares`: P10, P50, P90 of the pairs that
  /// are not unknown; empty without any.
  std::vector<PairedQuantile> quantiles;
};

/// Sets two combinations side by side, sample by sample.
[[nodiscard]] Paired paired(const std::vector<PairMember>& first,
                            const std::vector<PairMember>& second);

/// "A outlasts B in 20 of 20 samples, by 1.2 h (P10) to 2.4 h (P90), P50 1.8 h".
[[nodiscard]] std::string paired_sentence(const Paired& pair, const std::string& first,
                                          const std::string& second);

}  // namespace thawline::solver::batch
