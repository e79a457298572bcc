#pragma once

#include <vector>

namespace thawline::solver {

/// Which unknowns of a system lie on a tensor grid: unknown `first` + n at the n-th place in use,
/// counted along x first, then z.
struct TensorGrid {
  int columns = 0, rows = 0;
  int first = 0, count = 0;
  std::vector<char> used;  ///< by k columns + i
};

}  // namespace thawline::solver
