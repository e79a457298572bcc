#include "solver/fit/jumps.hpp"

#include <algorithm>
#include <cmath>

namespace thawline::solver::fit {

namespace {

constexpr double near = 3600;  // s: leaps so near one another are one

double median_of(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Median of the values between two instants; `otherwise` when there is none.
double level(const std::vector<double>& time, const std::vector<double>& value, double from,
             double to, double otherwise) {
  std::vector<double> part;
  for (std::size_t i = 0; i < time.size(); ++i) {
    if (time[i] >= from && time[i] <= to) part.push_back(value[i]);
  }
  return part.empty() ? otherwise : median_of(std::move(part));
}

}  // namespace

std::vector<Jump> jumps_in(const std::vector<double>& time, const std::vector<double>& value,
                           double least_step) {
  std::vector<Jump> found;
  if (time.size() < 12) return found;
  std::vector<double> sizes;
  for (std::size_t i = 1; i < value.size(); ++i) {
    sizes.push_back(std::abs(value[i] - value[i - 1]));
  }
  const double deviation = std::max(1.4826 * median_of(sizes), least_step);
  for (std::size_t i = 1; i < value.size(); ++i) {
    const double by = value[i] - value[i - 1];
    if (std::abs(by) < least_jump * deviation) continue;
    const Jump jump{i, by, std::abs(by) / deviation, false};
    if (!found.empty() && time[i] - time[found.back().at] < near) {
      if (jump.sizes > found.back().sizes) found.back() = jump;
    } else {
      found.push_back(jump);
    }
  }
  for (auto& jump : found) {
    const double t = time[jump.at];
    const double before = level(time, value, t - 2 * near, t - 1, value[jump.at - 1]);
    const double after = level(time, value, t + near, t + 4 * near, value[jump.at]);
    jump.stays = std::abs(after - before) > 0.5 * std::abs(jump.by);
  }
  return found;
}

}  // namespace thawline::solver::fit
