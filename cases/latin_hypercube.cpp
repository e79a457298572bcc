#include "cases/latin_hypercube.hpp"

#include "cases/mixed_bits.hpp"

namespace thawline::cases {

namespace {

/// A random permutation of 0 ... count − 1: a Feistel network on the next even power of two,
/// walked until it lands inside (J. Black, P. Rogaway, CT-RSA 2002).
std::uint64_t permuted(std::uint64_t key, std::uint64_t count, std::uint64_t index) {
  unsigned half = 1;
  while (half < 31 && (std::uint64_t{1} << (2 * half)) < count) ++half;
  const std::uint64_t mask = (std::uint64_t{1} << half) - 1;
  do {
    std::uint64_t left = index >> half;
    std::uint64_t right = index & mask;
    for (std::uint64_t round = 0; round < 6; ++round) {
      const std::uint64_t next = left ^ (mixed(key ^ mixed(8 * right + round)) & mask);
      left = right;
      right = next;
    }
    index = (left << half) | right;
  } while (index >= count);
  return index;
}

}  // namespace

double latin_hypercube(std::uint64_t seed, std::uint64_t dimension, std::uint64_t samples,
                       std::uint64_t sample) {
  const std::uint64_t key = mixed(mixed(seed) + dimension);
  const std::uint64_t slice = permuted(key, samples, sample);
  const double within = inside_unit(mixed(~key + mixed(sample)));
  return (static_cast<double>(slice) + within) / static_cast<double>(samples);
}

}  // namespace thawline::cases
