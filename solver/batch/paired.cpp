#include "solver/batch/paired.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <stdexcept>

#include "solver/statistics/quantile.hpp"

namespace thawline::solver::batch {

namespace {

constexpr double outlasted = 1, never_within = 2;
constexpr std::array<double, 3> shares{0.1, 0.5, 0.9};

std::string hours_text(const PairedQuantile& q) {
  const char* bound = q.at_least ? "more than " : q.at_most ? "less than " : "";
  return fmt::format("{}{:+.2f} h", bound, q.hours);
}

}  // namespace

Paired paired(const std::vector<PairMember>& first, const std::vector<PairMember>& second) {
  if (first.size() != second.size()) throw std::invalid_argument("unlike numbers of samples");
  Paired out;
  std::vector<PairedQuantile> differences;
  for (std::size_t i = 0; i < first.size(); ++i) {
    const PairMember& a = first[i];
    const PairMember& b = second[i];
    if (a.outcome == blank || b.outcome == blank) continue;
    ++out.pairs;
    const bool a_open = a.outcome == outlasted;
    const bool b_open = b.outcome == outlasted;
    if (a_open && b_open) {
      ++out.unknown;
      continue;
    }
    const bool same =
        a.hours == b.hours || (a.outcome == never_within && b.outcome == never_within);
    // What outlasted its run is longer than what ended, though runs may be of unlike length.
    const bool a_longer = a_open || (!b_open && a.hours > b.hours);
    if (same && !a_open && !b_open) {
      ++out.alike;
    } else {
      ++(a_longer ? out.longer : out.shorter);
    }
    differences.push_back({a.hours - b.hours, a_open, b_open});
  }
  std::sort(differences.begin(), differences.end(),
            [](const auto& x, const auto& y) { return x.hours < y.hours; });
  if (differences.empty()) return out;
  for (const double share : shares) {
    out.quantiles.push_back(
        differences[statistics::quantile_ranks(differences.size(), share).at - 1]);
  }
  return out;
}

std::string paired_sentence(const Paired& pair, const std::string& first,
                            const std::string& second) {
  if (pair.pairs == 0) return fmt::format("{} and {}: no sample without a failure", first, second);
  if (pair.longer == 0 && pair.shorter == 0 && pair.unknown == 0) {
    return fmt::format("{} and {} hold alike in all {} samples", first, second, pair.pairs);
  }
  std::string text =
      fmt::format("{} outlasts {} in {} of {} samples", first, second, pair.longer, pair.pairs);
  if (pair.unknown > 0) text += fmt::format(" ({} unknown, as both outlast the run)", pair.unknown);
  if (pair.quantiles.empty()) return text;
  return text + fmt::format("; {} less {}: P10 {}, P50 {}, P90 {}", first, second,
                            hours_text(pair.quantiles[0]), hours_text(pair.quantiles[1]),
                            hours_text(pair.quantiles[2]));
}

}  // namespace thawline::solver::batch
