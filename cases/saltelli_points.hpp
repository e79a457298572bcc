#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace thawline::cases {

/// One point of a sample made for Sobol indices, in (0, 1)^`inputs`. The sample goes in rows of
/// inputs + 2 points: A, B, then A with its first coordinate from B, with its second, ... A and B
/// are the two halves of a Sobol sequence in 2 `inputs` dimensions under a random digital shift
/// (Boost.Random's table; P. Bratley, B. L. Fox, ACM TOMS 14 (1988) 88; shift: P. L'Ecuyer,
/// C. Lemieux in Modeling Uncertainty (2002) 419, from memory). `index` from 0 counts points. A
/// function of its arguments alone, so that any point can be made on its own.
/// A. Saltelli et al., Computer Physics Communications 181 (2010) 259-270.
[[nodiscard]] std::vector<double> saltelli_point(std::uint64_t seed, std::size_t inputs,
                                                 std::uint64_t index);

}  // namespace thawline::cases
