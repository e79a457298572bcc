#include "mesh/section/spacing.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace thawline::mesh::section {

std::vector<double> graded_widths(double length, double at_begin, double at_end, double growth,
                                  double coarsest, int least) {
  std::vector<double> begin;
  std::vector<double> end;
  double left = std::min(at_begin, coarsest);
  double right = std::min(at_end, coarsest);
  double rest = length;
  while (rest > 0.5 * std::min(left, right)) {
    double& next = left <= right ? left : right;
    (left <= right ? begin : end).push_back(next);
    rest -= next;
    next = std::min(next * growth, coarsest);
  }
  const int count = static_cast<int>(begin.size() + end.size());
  if (count < least) {
    return std::vector<double>(static_cast<std::size_t>(least), length / least);
  }
  begin.insert(begin.end(), end.rbegin(), end.rend());
  const double scale = length / std::accumulate(begin.begin(), begin.end(), 0.0);
  for (double& width : begin) width *= scale;
  return begin;
}

Spacing refined(const Spacing& spacing, double refinement) {
  return {spacing.finest / refinement, spacing.coarsest / refinement,
          std::pow(spacing.growth, 1 / refinement), spacing.most_aspect};
}

}  // namespace thawline::mesh::section
