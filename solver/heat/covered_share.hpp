#pragma once

#include <algorithm>
#include <cstddef>

#include "mesh/network.hpp"

namespace thawline::solver {

/// The share of a link in force and its derivative by the liquid fraction of the body that covers.
struct CoveredShare {
  double value = 1, slope = 0;
};

inline CoveredShare covered_share(const mesh::Cover& cover, double liquid_fraction) {
  const auto& rows = cover.fraction;
  // Also where the fraction is not a number.
  if (!(liquid_fraction > rows.front())) return {cover.share.front(), 0};
  if (liquid_fraction >= rows.back()) return {cover.share.back(), 0};
  const auto next = std::upper_bound(rows.begin(), rows.end(), liquid_fraction);
  const auto i = static_cast<std::size_t>(next - rows.begin());
  const double slope = (cover.share[i] - cover.share[i - 1]) / (rows[i] - rows[i - 1]);
  return {cover.share[i - 1] + slope * (liquid_fraction - rows[i - 1]), slope};
}

}  // namespace thawline::solver
