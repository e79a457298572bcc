#pragma once

#include <omp.h>

namespace thawline::solver {

/// Loops over fewer entries than this run on one thread, where they are faster (measured).
inline constexpr int threads_from = 8000;

/// `act(i)` for i in [0, n), on all threads when there are enough. Each i must write only what is
/// its own, so that the bits do not depend on the number of threads.
template <typename Act>
void for_all(int n, const Act& act) {
  if (n < threads_from || omp_get_max_threads() == 1) {
    for (int i = 0; i < n; ++i) act(i);
    return;
  }
#pragma omp parallel for schedule(static)
  for (int i = 0; i < n; ++i) act(i);
}

}  // namespace thawline::solver
