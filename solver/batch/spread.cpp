#include "solver/batch/spread.hpp"

#include <algorithm>

#include "solver/statistics/quantile.hpp"

namespace thawline::solver::batch {

namespace {

constexpr signed char failed_case = -1;
constexpr signed char ended = 0;
constexpr signed char outlasted = 1;
constexpr signed char never_within = 2;

/// Shorter ones first.
bool shorter(const Held& a, const Held& b) {
  const auto rank = [](const Held& held) {
    if (held.outcome == never_within) return 0;
    return held.outcome == ended ? 1 : 2;
  };
  return rank(a) != rank(b) ? rank(a) < rank(b) : a.hours < b.hours;
}

HeldQuantile quantile_of(const std::vector<Held>& in_order, double share) {
  const auto ranks = statistics::quantile_ranks(in_order.size(), share);
  HeldQuantile quantile;
  quantile.value = in_order[ranks.at - 1];
  quantile.bounded_below = ranks.low > 0;
  quantile.bounded_above = ranks.high <= in_order.size();
  if (quantile.bounded_below) quantile.low = in_order[ranks.low - 1];
  if (quantile.bounded_above) quantile.high = in_order[ranks.high - 1];
  return quantile;
}

}  // namespace

bool SpreadCollector::applies(const TableHead& head) {
  const auto any = [&head](const auto& test) {
    return std::any_of(head.columns.begin(), head.columns.end(),
                       [&test](const Column& column) { return test(column.path); });
  };
  const bool limits = any([](const std::string& path) { return path.ends_with("/held"); });
  const bool seeks = any([](const std::string& path) { return path.starts_with("find/"); });
  return head.parts == 1 && head.samples > 1 && limits && !seeks;
}

SpreadCollector::SpreadCollector(const TableHead& head)
    : samples_(head.samples),
      contenders_(head.contenders),
      in_row_(head.ranked.empty() ? 0 : head.ranked.size() + 2) {
  blank_spread_.inputs = head.ranked;
  for (std::size_t k = 0; k < head.columns.size(); ++k) {
    const std::string& path = head.columns[k].path;
    if (!path.starts_with("limits/")) continue;
    if (path.ends_with("/outcome")) columns_.push_back({k, 0});
    if (!path.ends_with("/held")) continue;
    columns_.back().held = k;
    const auto start = std::string("limits/").size();
    blank_spread_.limits.push_back(path.substr(start, path.rfind('/') - start));
  }
  hours_.resize(columns_.size());
  outcomes_.resize(columns_.size());
}

void SpreadCollector::add(const Row& row) {
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    const double outcome = row.numbers[columns_[i].outcome];
    const bool failed = outcome == blank;
    hours_[i].push_back(failed ? 0 : row.numbers[columns_[i].held]);
    outcomes_[i].push_back(failed ? failed_case : static_cast<signed char>(outcome));
  }
}

LimitSpread SpreadCollector::spread_of(std::uint64_t combination, std::size_t limit) const {
  const std::size_t first = combination * samples_;
  LimitSpread spread;
  std::vector<Held> held;
  std::vector<double> for_indices;
  for (std::size_t i = 0; i < samples_; ++i) {
    const signed char outcome = outcomes_[limit][first + i];
    if (in_row_ > 0 && i % in_row_ == 0) {
      const auto begin = outcomes_[limit].begin() + static_cast<std::ptrdiff_t>(first + i);
      const auto end = begin + static_cast<std::ptrdiff_t>(in_row_);
      if (std::find(begin, end, failed_case) == end) {
        const auto hours = hours_[limit].begin() + static_cast<std::ptrdiff_t>(first + i);
        for_indices.insert(for_indices.end(), hours, hours + static_cast<std::ptrdiff_t>(in_row_));
      }
    }
    if (in_row_ > 0 && i % in_row_ > 1) continue;
    spread.ended += outcome == ended ? 1 : 0;
    spread.outlasted += outcome == outlasted ? 1 : 0;
    spread.never_within += outcome == never_within ? 1 : 0;
    spread.failed += outcome == failed_case ? 1 : 0;
    if (outcome != failed_case) {
      held.push_back({static_cast<double>(outcome), hours_[limit][first + i]});
    }
  }
  std::sort(held.begin(), held.end(), shorter);
  if (!held.empty()) {
    for (const double share : quantile_shares) {
      spread.quantiles.push_back(quantile_of(held, share));
    }
  }
  if (in_row_ == 0) return spread;
  spread.rows = for_indices.size() / in_row_;
  spread.indices = statistics::sobol_indices(for_indices, in_row_ - 2);
  return spread;
}

Spread SpreadCollector::spread() const {
  Spread spread = blank_spread_;
  if (columns_.empty()) return spread;
  const std::uint64_t combinations = hours_.front().size() / samples_;
  for (std::uint64_t k = 0; k < combinations; ++k) {
    spread.combinations.emplace_back();
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      spread.combinations.back().push_back(spread_of(k, i));
    }
  }
  spread.pairs = paired(contenders_);
  return spread;
}

std::vector<PairMember> SpreadCollector::members(std::uint64_t combination,
                                                 std::size_t limit) const {
  std::vector<PairMember> out;
  for (std::size_t i = 0; i < samples_; ++i) {
    if (in_row_ > 0 && i % in_row_ > 1) continue;
    const std::size_t at = combination * samples_ + i;
    const signed char outcome = outcomes_[limit][at];
    out.push_back(
        {outcome == failed_case ? blank : static_cast<double>(outcome), hours_[limit][at]});
  }
  return out;
}

std::vector<std::vector<Paired>> SpreadCollector::paired(std::uint64_t contenders) const {
  std::vector<std::vector<Paired>> out(columns_.size());
  if (columns_.empty()) return out;
  const std::uint64_t combinations = hours_.front().size() / samples_;
  const std::uint64_t together = contenders > 1 ? contenders : combinations;
  if (contenders <= 1 && combinations > most_paired) return out;
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    for (std::uint64_t first = 0; first < combinations; ++first) {
      const std::uint64_t end = (first / together + 1) * together;
      for (std::uint64_t second = first + 1; second < end; ++second) {
        Paired pair = batch::paired(members(first, i), members(second, i));
        const bool turned = pair.shorter > pair.longer;
        if (turned) pair = batch::paired(members(second, i), members(first, i));
        pair.first = turned ? second : first;
        pair.second = turned ? first : second;
        out[i].push_back(std::move(pair));
      }
    }
  }
  return out;
}

}  // namespace thawline::solver::batch
