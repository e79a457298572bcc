#pragma once

#include <omp.h>

namespace thawline::solver {

/// Loops over fewer entries than this run on one thread, where they are faster (measured).
inline constexpr int threads_from = 8000;

/// `act(task)` for `tasks` that go over `entries` together, on all threads when there are enough of
/// these. Each task must write only what is its own, so that the bits do not depend on the number
/// of threads.
template <typename Act>
void for_tasks(int tasks, int entries, const Act& act) {
  if (entries < threads_from || omp_get_max_threads() == 1) {
    for (int i = 0; i < tasks; ++i) act(i);
    return;
  }
#pragma omp parallel for schedule(static)
  for (int i = 0; i < tasks; ++i) act(i);
}

/// `act(i)` for i in [0, n), each entry a task.
template <typename Act>
void for_all(int n, const Act& act) {
  for_tasks(n, n, act);
}

}  // namespace thawline::solver
