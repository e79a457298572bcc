#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <numeric>

#include "solver/statistics/shapley.hpp"

using namespace thawline::solver::statistics;
using Function = std::function<std::optional<double>(std::uint64_t)>;

namespace {

SubsetValues all_of(std::size_t players, const Function& f) {
  SubsetValues values;
  for (std::uint64_t s = 0; s < std::uint64_t{1} << players; ++s) values[s] = f(s);
  return values;
}

bool has(std::uint64_t subset, std::size_t i) { return (subset >> i & 1U) != 0; }

double sum_of(const Shares& shares) {
  return std::accumulate(shares.share.begin(), shares.share.end(), 0.0);
}

const std::vector<double> a{1.3, 0.7, 2.1, 1.0, 0.95, 1.6, 0.4, 1.02, 1.9, 0.8};

/// Π a_i over the subset, times 10.
std::optional<double> product(std::uint64_t subset) {
  double p = 10;
  for (std::size_t i = 0; i < a.size(); ++i) p *= has(subset, i) ? a[i] : 1;
  return p;
}

/// Closed form: (a_i − 1) Σ_k k! (n − 1 − k)!/n! e_k of the others, e_k the elementary symmetric
/// polynomials, as Σ over subsets of size k of their products.
double share_of_product(std::size_t i) {
  std::vector<double> e(a.size(), 0);
  e[0] = 1;
  std::size_t used = 0;
  for (std::size_t j = 0; j < a.size(); ++j) {
    if (j == i) continue;
    ++used;
    for (std::size_t k = used; k > 0; --k) e[k] += a[j] * e[k - 1];
  }
  const auto n = static_cast<double>(a.size());
  double sum = 0;
  for (std::size_t k = 0; k < a.size(); ++k) {
    const auto size = static_cast<double>(k);
    sum += std::exp(std::lgamma(size + 1) + std::lgamma(n - size) - std::lgamma(n + 1)) * e[k];
  }
  return 10 * (a[i] - 1) * sum;
}

}  // namespace

TEST_CASE("an additive function gives each player its own part", "[shapley]") {
  const std::vector<double> part{3.5, -1.25, 0, 7, 0.125};
  const auto f = [&part](std::uint64_t subset) {
    double sum = 20;
    for (std::size_t i = 0; i < part.size(); ++i) sum += has(subset, i) ? part[i] : 0;
    return std::optional(sum);
  };
  const Shares shares = shapley(part.size(), all_of(part.size(), f));
  REQUIRE(shares.possible);
  CHECK(shares.orders == 120);
  for (std::size_t i = 0; i < part.size(); ++i) CHECK(shares.share[i] == Approx(part[i]).margin(1e-13));
  const auto orders = random_orders(part.size(), 8, 1);
  const Shares drawn = shapley(part.size(), orders, all_of(part.size(), f));
  for (std::size_t i = 0; i < part.size(); ++i) {
    CHECK(drawn.share[i] == Approx(part[i]).margin(1e-13));
    CHECK(drawn.error[i] == Approx(0).margin(1e-13));
  }
}

TEST_CASE("a product of ten players has its closed form", "[shapley]") {
  const Shares shares = shapley(a.size(), all_of(a.size(), product));
  REQUIRE(shares.possible);
  for (std::size_t i = 0; i < a.size(); ++i) {
    INFO("player " << i);
    CHECK(shares.share[i] == Approx(share_of_product(i)).epsilon(1e-12).margin(1e-13));
  }
  CHECK(sum_of(shares) == Approx(shares.to - shares.from).margin(1e-12));
}

// Textbook: gloves, players 0 and 1 have a left one, 2 a right one; a pair is worth 1 (L. S. Shapley,
// M. Shubik, Journal of Political Economy 77 (1969), from memory): 1/6, 1/6, 4/6.
TEST_CASE("the glove game", "[shapley]") {
  const auto f = [](std::uint64_t s) {
    return std::optional(has(s, 2) && (has(s, 0) || has(s, 1)) ? 1.0 : 0.0);
  };
  const Shares shares = shapley(3, all_of(3, f));
  CHECK(shares.share[0] == Approx(1.0 / 6));
  CHECK(shares.share[1] == Approx(1.0 / 6));
  CHECK(shares.share[2] == Approx(4.0 / 6));
}

TEST_CASE("orders that meet a subset without a value are left out", "[shapley]") {
  // 0 may only come after 1: the orders left are 1 0 2, 1 2 0, 2 1 0.
  const auto f = [](std::uint64_t s) -> std::optional<double> {
    if (has(s, 0) && !has(s, 1)) return std::nullopt;
    return static_cast<double>(s * s);
  };
  const auto values = all_of(3, f);
  const Shares shares = shapley(3, values);
  REQUIRE(shares.possible);
  CHECK(shares.orders == 3);
  CHECK(shares.left_out == 3);
  const auto v = [&](std::uint64_t s) { return *values.at(s); };
  CHECK(shares.share[0] == Approx((v(3) - v(2) + v(7) - v(6) + v(7) - v(6)) / 3));
  CHECK(shares.share[1] == Approx((v(2) + v(2) + v(6) - v(4)) / 3));
  CHECK(shares.share[2] == Approx((v(7) - v(3) + v(6) - v(2) + v(4)) / 3));
  CHECK(sum_of(shares) == Approx(v(7)).margin(1e-12));
  const auto none = [](std::uint64_t s) -> std::optional<double> {
    return s == 1 || s == 2 ? std::nullopt : std::optional(1.0);
  };
  CHECK_FALSE(shapley(2, all_of(2, none)).possible);
}

TEST_CASE("random orders come near, as far as they say, and sum to the difference", "[shapley]") {
  const auto values = all_of(a.size(), product);
  const auto orders = random_orders(a.size(), 400, 3);
  CHECK(orders.size() == 400);
  for (std::size_t k = 0; k < orders.size(); k += 2) {
    auto turned = orders[k];
    std::reverse(turned.begin(), turned.end());
    REQUIRE(turned == orders[k + 1]);
  }
  constexpr int seeds = 50;
  int within_two = 0;
  for (int seed = 1; seed <= seeds; ++seed) {
    const auto some = random_orders(a.size(), 100, static_cast<std::uint64_t>(seed));
    const Shares drawn = shapley(a.size(), some, values);
    for (std::size_t i = 0; i < a.size(); ++i) {
      const double off = std::abs(drawn.share[i] - share_of_product(i));
      within_two += off <= 2 * drawn.error[i] + 1e-12 ? 1 : 0;
    }
    CHECK(sum_of(drawn) == Approx(drawn.to - drawn.from).margin(1e-12));
  }
  // 95 % of a normal error, of 500 that are not all independent.
  INFO(within_two << " of " << seeds * a.size() << " within two standard errors");
  CHECK(within_two >= 450);
  CHECK(subsets_of(orders).size() <= 1024);
  CHECK(random_orders(5, 6, 9) == random_orders(5, 6, 9));
}

TEST_CASE("no players, no difference", "[shapley]") {
  const Shares shares = shapley(0, {{0, 5.0}});
  CHECK(shares.possible);
  CHECK(shares.from == 5);
  CHECK(shares.to == 5);
}
