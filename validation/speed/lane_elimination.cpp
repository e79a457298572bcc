#include "speed/lane_elimination.hpp"

#include <algorithm>
#include <numeric>

namespace thawline::validation {

LanePattern pattern_of(const std::vector<solver::BorderedSystem>& factored) {
  LanePattern pattern;
  pattern.blocks = factored.front().blocks();
  pattern.cells = static_cast<int>(factored.front().diagonal.size());
  pattern.hubs = static_cast<int>(factored.front().hubs.rows());
  Eigen::Matrix<bool, Eigen::Dynamic, Eigen::Dynamic> touch(pattern.hubs, pattern.hubs);
  touch.setConstant(false);
  for (const auto& system : factored) {
    for (int a = 0; a < pattern.hubs; ++a) {
      for (int b = 0; b < a; ++b) {
        const bool here = system.hubs(a, b) != 0 || system.hubs(b, a) != 0;
        touch(a, b) = touch(b, a) = touch(a, b) || here;
      }
    }
  }
  auto& order = pattern.order;
  order.resize(static_cast<std::size_t>(pattern.hubs));
  pattern.place.resize(order.size());
  pattern.later.resize(order.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(),
                   [&](int a, int b) { return touch.row(a).count() < touch.row(b).count(); });
  for (std::size_t k = 0; k < order.size(); ++k) {
    pattern.place[static_cast<std::size_t>(order[k])] = static_cast<int>(k);
    std::vector<int> touched;
    for (std::size_t j = k + 1; j < order.size(); ++j) {
      if (!touch(order[k], order[j])) continue;
      pattern.later[k].push_back(static_cast<int>(j));
      touched.push_back(order[j]);
    }
    for (const int a : touched) {
      for (const int b : touched) touch(a, b) = touch(a, b) || a != b;
    }
  }
  return pattern;
}

}  // namespace thawline::validation
