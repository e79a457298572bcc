#pragma once

#include <vector>

namespace thawline::solver {

/// xᵀ y, summed in blocks of fixed size: the same bits for any number of threads.
[[nodiscard]] double dot(const std::vector<double>& x, const std::vector<double>& y);

}  // namespace thawline::solver
