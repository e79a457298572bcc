#include "solver/trial/what_is_told.hpp"

#include <fmt/format.h>

#include <cmath>

namespace thawline::solver::trial {

namespace {

double natural(const Learnt& value, double number) {
  return value.logarithmic ? std::log(number) : number;
}

/// A share of the bounds beyond which an interval tells next to nothing.
constexpr double most_of_bounds = 0.6;
/// Correlation from which on knowing one value would halve the interval of the other.
constexpr double hang_together = 0.866;
constexpr double bound_together = 0.95;

/// Half an interval beyond which a value is worth a word: a tenth of it, or of what the bounds
/// leave.
bool is_wide(const Learnt& value) {
  const double half = (natural(value, value.high) - natural(value, value.low)) / 2;
  const double room = natural(value, value.to) - natural(value, value.from);
  return half > 0.1 * (value.logarithmic ? 1 : room);
}

std::string combination(const Learnt& a, const Learnt& b, double correlation) {
  if (a.logarithmic && b.logarithmic) return correlation > 0 ? "ratio" : "product";
  return correlation > 0 ? "difference, as it were," : "sum, as it were,";
}

}  // namespace

void mark_what_is_told(Fitted& fitted, bool weighed) {
  for (auto& value : fitted.values) {
    if (value.path.empty()) continue;
    const double room = natural(value, value.to) - natural(value, value.from);
    const double width = natural(value, value.high) - natural(value, value.low);
    value.told = value.known.has_value() || width < most_of_bounds * room;
    const double edge = 1e-3 * room;
    value.at_bound = value.natural - natural(value, value.from) < edge ||
                     natural(value, value.to) - value.natural < edge;
  }
  for (std::size_t i = 0; i < fitted.values.size(); ++i) {
    for (std::size_t k = i + 1; k < fitted.values.size(); ++k) {
      const auto& a = fitted.values[i];
      const auto& b = fitted.values[k];
      const double r =
          fitted.correlation(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(k));
      if (a.path.empty() || b.path.empty() || std::abs(r) < hang_together) continue;
      if (!is_wide(a) && !is_wide(b)) continue;
      fitted.not_separated.push_back(fmt::format(
          "'{}' and '{}': {} their {} is told (correlation {:.3f}); {}log a second run with a "
          "known amount",
          a.name, b.name, std::abs(r) < bound_together ? "mostly" : "only", combination(a, b, r), r,
          weighed ? "" : "weigh the melt water, or "));
    }
  }
  for (const auto& value : fitted.values) {
    if (value.told) continue;
    fitted.not_separated.push_back(fmt::format(
        "'{}' is not told: its interval fills most of what the bounds leave", value.name));
  }
}

}  // namespace thawline::solver::trial
