#include "solver/linear/dot.hpp"

#include <algorithm>
#include <array>

#include "solver/at.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

double dot(const std::vector<double>& x, const std::vector<double>& y) {
  constexpr int most_blocks = 512;
  const int n = static_cast<int>(x.size());
  const int block = std::max(2048, (n + most_blocks - 1) / most_blocks);
  const int blocks = (n + block - 1) / block;
  std::array<double, most_blocks> sums{};
  const auto sum_block = [&](int b) {
    double sum = 0;
    const int end = std::min(n, (b + 1) * block);
    for (int i = b * block; i < end; ++i) sum += x[at(i)] * y[at(i)];
    sums[at(b)] = sum;
  };
  for_tasks(blocks, n, sum_block);
  double all = 0;
  for (int b = 0; b < blocks; ++b) all += sums[at(b)];
  return all;
}

}  // namespace thawline::solver
