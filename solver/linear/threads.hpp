#pragma once

#include <omp.h>

namespace thawline::solver {

/// Loops over fewer entries than this run on one thread. Threads meet after every loop. On an idle
/// machine two of them work a section of 40 000 cells 1.4 to 1.6 times as fast as one; where other
/// work takes the second core each meeting may take milliseconds, and the same run ten times as
/// long (both measured, see SECTIONS.md). OMP_NUM_THREADS=1 keeps to one.
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
