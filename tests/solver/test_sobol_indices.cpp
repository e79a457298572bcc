#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "cases/saltelli_points.hpp"
#include "solver/statistics/quantile.hpp"
#include "solver/statistics/sobol_indices.hpp"

namespace {

using namespace thawline;
using solver::statistics::sobol_indices;
using solver::statistics::SobolIndex;
using std::numbers::pi;

constexpr double a = 7;
constexpr double b = 0.1;

/// T. Ishigami, T. Homma, ISUMA'90 (1990) 398-403: sin x1 + a sin² x2 + b x3⁴ sin x1 with inputs
/// even over (−π, π).
double ishigami(const std::vector<double>& u) {
  const auto x = [&u](std::size_t i) { return pi * (2 * u[i] - 1); };
  return std::sin(x(0)) + a * std::pow(std::sin(x(1)), 2) + b * std::pow(x(2), 4) * std::sin(x(0));
}

/// Its partial variances, integrated by hand: V1 = (1 + b π⁴/5)² / 2, V2 = a²/8, V13 = 8 b² π⁸/225
/// (also in A. Saltelli et al., Global Sensitivity Analysis (2008), from memory).
struct Exact {
  double v1 = std::pow(1 + b * std::pow(pi, 4) / 5, 2) / 2;
  double v2 = a * a / 8;
  double v13 = 8 * b * b * std::pow(pi, 8) / 225;
  double all = v1 + v2 + v13;
  std::vector<double> first{v1 / all, v2 / all, 0};
  std::vector<double> total{(v1 + v13) / all, v2 / all, v13 / all};
};

std::vector<SobolIndex> indices_of_ishigami(std::uint64_t seed, std::uint64_t rows) {
  std::vector<double> answers;
  for (std::uint64_t i = 0; i < rows * 5; ++i) {
    answers.push_back(ishigami(cases::saltelli_point(seed, 3, i)));
  }
  return sobol_indices(answers, 3);
}

double worst_error(const std::vector<SobolIndex>& indices) {
  const Exact exact;
  double worst = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    worst = std::max(worst, std::abs(indices[i].first.value - exact.first[i]));
    worst = std::max(worst, std::abs(indices[i].total.value - exact.total[i]));
  }
  return worst;
}

}  // namespace

TEST_CASE("partial variances of Ishigami's function add up to its variance", "[solver]") {
  // The variance by the midpoint rule, which is exact for the sines and converges for x3.
  double sum = 0;
  double squares = 0;
  constexpr int n = 64;
  for (int i = 0; i < n; ++i) {
    for (int j = 0; j < n; ++j) {
      for (int k = 0; k < n; ++k) {
        const double y = ishigami({(i + 0.5) / n, (j + 0.5) / n, (k + 0.5) / n});
        sum += y;
        squares += y * y;
      }
    }
  }
  const double count = n * n * n;
  const double variance = squares / count - std::pow(sum / count, 2);
  const Exact exact;
  CHECK(variance == Approx(exact.all).epsilon(5e-3));
  CHECK(exact.first[0] == Approx(0.3139).margin(5e-5));
  CHECK(exact.first[1] == Approx(0.4424).margin(5e-5));
  CHECK(exact.total[0] == Approx(0.5576).margin(5e-5));
  CHECK(exact.total[2] == Approx(0.2437).margin(5e-5));
}

TEST_CASE("indices of Ishigami's function converge to the known ones", "[solver]") {
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    const double coarse = worst_error(indices_of_ishigami(seed, 256));
    const double fine = worst_error(indices_of_ishigami(seed, 16384));
    INFO("seed " << seed << ": worst error " << coarse << " with 256 rows, " << fine
                 << " with 16384");
    CHECK(coarse < 0.1);
    CHECK(fine < 0.005);
    CHECK(fine < coarse / 4);
  }
}

TEST_CASE("intervals of the indices hold the known values", "[solver]") {
  const Exact exact;
  int held = 0;
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    const auto indices = indices_of_ishigami(seed, 256);
    for (std::size_t i = 0; i < 3; ++i) {
      const auto& [first, total] = indices[i];
      CHECK(first.low <= first.value);
      CHECK(first.value <= first.high);
      CHECK(first.high - first.low < 0.5);
      held += first.low <= exact.first[i] && exact.first[i] <= first.high ? 1 : 0;
      held += total.low <= exact.total[i] && exact.total[i] <= total.high ? 1 : 0;
    }
  }
  // 95 % of 60, or more as the points are more even than chance.
  CHECK(held >= 55);
}

TEST_CASE("an answer that does not vary has no indices", "[solver]") {
  CHECK(sobol_indices(std::vector<double>(50, 3.7), 3).empty());
  CHECK(sobol_indices({1, 2, 3, 4, 5}, 3).empty());
}

TEST_CASE("rows of a sample for indices share their coordinates as they must", "[cases]") {
  constexpr std::size_t inputs = 4;
  for (std::uint64_t row = 0; row < 20; ++row) {
    const auto point = [row](std::uint64_t k) {
      return cases::saltelli_point(5, inputs, row * (inputs + 2) + k);
    };
    for (std::size_t i = 0; i < inputs; ++i) {
      for (std::size_t k = 0; k < inputs; ++k) {
        CHECK(point(i + 2)[k] == (k == i ? point(1)[k] : point(0)[k]));
        CHECK(point(0)[k] != point(1)[k]);
      }
    }
  }
}

TEST_CASE("a power of two of points fills every slice of every input", "[cases]") {
  constexpr std::size_t inputs = 10;
  constexpr std::uint64_t rows = 64;
  for (std::size_t i = 0; i < inputs; ++i) {
    for (std::uint64_t matrix = 0; matrix < 2; ++matrix) {
      std::vector<int> in_slice(rows, 0);
      for (std::uint64_t j = 0; j < rows; ++j) {
        const double u = cases::saltelli_point(9, inputs, j * (inputs + 2) + matrix)[i];
        ++in_slice[static_cast<std::size_t>(u * rows)];
      }
      CHECK(std::all_of(in_slice.begin(), in_slice.end(), [](int n) { return n == 1; }));
    }
  }
}

TEST_CASE("quantiles are values of the sample and their interval covers them", "[solver]") {
  using solver::statistics::quantile_ranks;
  CHECK(quantile_ranks(10, 0.1).at == 1);
  CHECK(quantile_ranks(10, 0.5).at == 5);
  CHECK(quantile_ranks(10, 0.9).at == 9);
  CHECK(quantile_ranks(11, 0.5).at == 6);
  CHECK(quantile_ranks(1, 0.9).at == 1);
  const auto median = quantile_ranks(100, 0.5);  // 40 and 61: any table of the sign test
  CHECK(median.low == 40);
  CHECK(median.high == 61);
  const auto low = quantile_ranks(20, 0.1);
  CHECK(low.low == 0);  // 20 values are too few to bound the P10 from below
  CHECK(low.high == 6);
}
