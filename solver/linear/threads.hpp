#pragma once

#include <omp.h>

namespace thawline::solver {

/// Loops over fewer entries than this run on one thread. Threads meet after every loop, and on a
/// machine busy with other work each meeting may take milliseconds: a section of 40 000 cells then
/// took ten times as long on two threads as on one (measured), so a loop must be worth that.
inline constexpr int threads_from = 100000;

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
