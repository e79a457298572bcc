#include "cases/saltelli_points.hpp"

#include <boost/random/sobol.hpp>

#include "cases/mixed_bits.hpp"

namespace thawline::cases {

namespace {

/// Point `index` of the shifted Sobol sequence, as 64 bits a coordinate.
std::vector<std::uint64_t> shifted_sobol(std::uint64_t seed, std::size_t dimensions,
                                         std::uint64_t index) {
  std::vector<std::uint64_t> point(dimensions, 0);
  if (index > 0) {  // Boost leaves out the first point, all zeros
    boost::random::sobol sequence(dimensions);
    sequence.discard((index - 1) * dimensions);
    for (auto& bits : point) bits = sequence();
  }
  for (std::size_t i = 0; i < dimensions; ++i) point[i] ^= mixed(mixed(seed) + i);
  return point;
}

}  // namespace

std::vector<double> saltelli_point(std::uint64_t seed, std::size_t inputs, std::uint64_t index) {
  const std::uint64_t in_row = index % (inputs + 2);
  const auto both = shifted_sobol(seed, 2 * inputs, index / (inputs + 2));
  std::vector<double> point(inputs);
  for (std::size_t i = 0; i < inputs; ++i) {
    const bool from_b = in_row == 1 || in_row == i + 2;
    point[i] = inside_unit(both[i + (from_b ? inputs : 0)]);
  }
  return point;
}

}  // namespace thawline::cases
