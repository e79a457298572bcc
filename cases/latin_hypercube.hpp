#pragma once

#include <cstdint>

namespace thawline::cases {

/// One coordinate of one point of a Latin hypercube: in each `dimension` the `samples` points lie
/// one in each of as many equal slices of (0, 1), at a random place in it, in a random order. A
/// function of its arguments alone, without memory, so that any point can be made on its own.
/// M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21 (1979) 239-245.
[[nodiscard]] double latin_hypercube(std::uint64_t seed, std::uint64_t dimension,
                                     std::uint64_t samples, std::uint64_t sample);

}  // namespace thawline::cases
