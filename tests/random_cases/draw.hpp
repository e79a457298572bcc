#pragma once

#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

#include "cases/mixed_bits.hpp"

namespace thawline::random_cases {

/// Random numbers that are the same with every compiler and library.
class Draw {
 public:
  /// The numbers of case `index` of `seed`, whatever other cases are drawn.
  Draw(std::uint64_t seed, std::uint64_t index) : engine_(cases::mixed(seed) + index) {}

  [[nodiscard]] double between(double low, double high) {
    return low + (high - low) * cases::inside_unit(engine_());
  }
  /// Evenly by ratio, for sizes that range over decades; `low` > 0.
  [[nodiscard]] double by_ratio(double low, double high) {
    return low * std::exp(between(0, std::log(high / low)));
  }
  [[nodiscard]] bool chance(double p) { return between(0, 1) < p; }
  /// A whole number from `low` to `high`, both included.
  [[nodiscard]] int whole(int low, int high) {
    return low + static_cast<int>(engine_() % static_cast<std::uint64_t>(high - low + 1));
  }
  template <typename T>
  [[nodiscard]] const T& one_of(const std::vector<T>& all) {
    return all[static_cast<std::size_t>(whole(0, static_cast<int>(all.size()) - 1))];
  }

 private:
  std::mt19937_64 engine_;
};

}  // namespace thawline::random_cases
