#pragma once

#include <cmath>
#include <cstdint>

namespace thawline::cases {

/// The output function of SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014).
[[nodiscard]] inline std::uint64_t mixed(std::uint64_t x) {
  x += 0x9E3779B97F4A7C15U;
  x = (x ^ (x >> 30U)) * 0xBF58476D1CE4E5B9U;
  x = (x ^ (x >> 27U)) * 0x94D049BB133111EBU;
  return x ^ (x >> 31U);
}

/// A number inside (0, 1), off both ends, from the first 52 of 64 bits.
[[nodiscard]] inline double inside_unit(std::uint64_t bits) {
  return (static_cast<double>(bits >> 12U) + 0.5) * std::ldexp(1, -52);
}

}  // namespace thawline::cases
