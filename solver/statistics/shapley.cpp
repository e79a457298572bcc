#include "solver/statistics/shapley.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>
#include <stdexcept>

#include "cases/mixed_bits.hpp"

namespace thawline::solver::statistics {

namespace {

constexpr std::uint64_t bit(std::size_t player) { return std::uint64_t{1} << player; }

/// Empty where the subset has none, or was not asked for.
std::optional<double> value_of(const SubsetValues& values, std::uint64_t subset) {
  const auto found = values.find(subset);
  return found == values.end() ? std::nullopt : found->second;
}

Shares with_ends(std::size_t players, const SubsetValues& values) {
  Shares out;
  out.share.assign(players, 0);
  const auto from = value_of(values, 0);
  const auto to = value_of(values, bit(players) - 1);
  out.from = from.value_or(0);
  out.to = to.value_or(0);
  out.possible = from && to;
  return out;
}

/// How many ways lead to each subset from the empty one, one player at a time, past subsets that
/// have a value.
std::vector<double> ways_to(std::size_t players, const SubsetValues& values) {
  std::vector<double> ways(bit(players), 0);
  ways[0] = value_of(values, 0) ? 1 : 0;
  for (std::uint64_t subset = 1; subset < ways.size(); ++subset) {
    if (!value_of(values, subset)) continue;
    for (std::size_t i = 0; i < players; ++i) {
      if ((subset & bit(i)) != 0) ways[subset] += ways[subset ^ bit(i)];
    }
  }
  return ways;
}

/// The same from each subset to the full one.
std::vector<double> ways_on(std::size_t players, const SubsetValues& values) {
  std::vector<double> ways(bit(players), 0);
  ways.back() = value_of(values, bit(players) - 1) ? 1 : 0;
  for (std::uint64_t subset = bit(players) - 1; subset-- > 0;) {
    if (!value_of(values, subset)) continue;
    for (std::size_t i = 0; i < players; ++i) {
      if ((subset & bit(i)) == 0) ways[subset] += ways[subset | bit(i)];
    }
  }
  return ways;
}

}  // namespace

Shares shapley(std::size_t players, const SubsetValues& values) {
  if (players > most_exact) throw std::invalid_argument("too many players for all subsets");
  Shares out = with_ends(players, values);
  const auto before = ways_to(players, values);
  const auto after = ways_on(players, values);
  out.orders = before.back();
  out.left_out = std::tgamma(static_cast<double>(players) + 1) - out.orders;
  out.possible = out.possible && out.orders > 0;
  if (!out.possible) return out;
  for (std::size_t i = 0; i < players; ++i) {
    long double sum = 0;
    for (std::uint64_t subset = 0; subset < before.size(); ++subset) {
      if ((subset & bit(i)) != 0) continue;
      const double ways = before[subset] * after[subset | bit(i)];
      if (ways == 0) continue;
      sum += static_cast<long double>(ways) *
             (*value_of(values, subset | bit(i)) - *value_of(values, subset));
    }
    out.share[i] = static_cast<double>(sum / out.orders);
  }
  return out;
}

std::vector<std::vector<std::size_t>> random_orders(std::size_t players, std::size_t count,
                                                    std::uint64_t seed) {
  std::vector<std::vector<std::size_t>> orders;
  std::uint64_t state = seed;
  while (orders.size() < count) {
    std::vector<std::size_t> order(players);
    std::iota(order.begin(), order.end(), 0U);
    for (std::size_t i = players; i > 1; --i) {
      state = cases::mixed(state + i);
      std::swap(order[i - 1], order[state % i]);
    }
    orders.push_back(order);
    std::reverse(order.begin(), order.end());
    orders.push_back(order);
  }
  return orders;
}

std::vector<std::uint64_t> subsets_of(const std::vector<std::vector<std::size_t>>& orders) {
  std::set<std::uint64_t> subsets;
  for (const auto& order : orders) {
    std::uint64_t subset = 0;
    subsets.insert(subset);
    for (const std::size_t player : order) subsets.insert(subset |= bit(player));
  }
  return {subsets.begin(), subsets.end()};
}

namespace {

/// What each player adds in one order; empty where it meets a subset without a value.
std::vector<double> added_in(const std::vector<std::size_t>& order, const SubsetValues& values) {
  std::vector<double> added(order.size());
  std::uint64_t subset = 0;
  auto before = value_of(values, subset);
  for (const std::size_t player : order) {
    const auto after = value_of(values, subset |= bit(player));
    if (!before || !after) return {};
    added[player] = *after - *before;
    before = after;
  }
  return added;
}

}  // namespace

Shares shapley(std::size_t players, const std::vector<std::vector<std::size_t>>& orders,
               const SubsetValues& values) {
  Shares out = with_ends(players, values);
  std::vector<std::vector<double>> means;  // by pair of an order and its reverse
  for (std::size_t k = 0; k < orders.size(); k += 2) {
    std::vector<double> mean(players, 0);
    double counted = 0;
    for (std::size_t one = k; one < std::min(k + 2, orders.size()); ++one) {
      const auto added = added_in(orders[one], values);
      if (added.empty()) {
        ++out.left_out;
        continue;
      }
      ++counted;
      for (std::size_t i = 0; i < players; ++i) mean[i] += added[i];
    }
    if (counted == 0) continue;
    out.orders += counted;
    for (double& m : mean) m /= counted;
    means.push_back(std::move(mean));
  }
  out.possible = out.possible && !means.empty();
  if (!out.possible) return out;
  const auto count = static_cast<double>(means.size());
  for (std::size_t i = 0; i < players; ++i) {
    long double sum = 0;
    for (const auto& mean : means) sum += mean[i];
    out.share[i] = static_cast<double>(sum / count);
    double square = 0;
    for (const auto& mean : means) square += std::pow(mean[i] - out.share[i], 2);
    out.error.push_back(count > 1 ? std::sqrt(square / (count - 1) / count) : 0);
  }
  return out;
}

}  // namespace thawline::solver::statistics
