#pragma once

#include <omp.h>

#include <algorithm>
#include <cstdint>

#include "solver/linear/crew.hpp"

namespace thawline::solver {

/// Loops over fewer entries than this run on one thread. On an idle machine two threads work a
/// section of 40 000 cells 1.4 to 1.6 times as fast as one (measured, see SECTIONS.md).
inline constexpr int threads_from = 8000;

/// How many threads a loop over `entries` gets: as many as OpenMP would (OMP_NUM_THREADS or the
/// machine's cores), one inside a parallel region, as where cases of a batch run side by side.
[[nodiscard]] inline int threads_for(int entries) {
  return entries < threads_from || omp_in_parallel() != 0 ? 1 : omp_get_max_threads();
}

/// `act(task)` for `tasks` that go over `entries` together, on all threads when there are enough of
/// these. Each task must write only what is its own, so that the bits do not depend on the number
/// of threads.
template <typename Act>
void for_tasks(int tasks, int entries, const Act& act) {
  const int threads = threads_for(entries);
  if (threads == 1) {
    for (int i = 0; i < tasks; ++i) act(i);
    return;
  }
  struct Loop {
    const Act* act;
    int tasks, chunks;
  };
  constexpr int chunks_a_thread = 4;
  const Loop loop{&act, tasks, std::min(tasks, chunks_a_thread * threads)};
  run_chunks(
      loop.chunks, threads,
      [](const void* data, int chunk) {
        const auto& l = *static_cast<const Loop*>(data);
        const auto begin = static_cast<int>(std::int64_t{l.tasks} * chunk / l.chunks);
        const auto end = static_cast<int>(std::int64_t{l.tasks} * (chunk + 1) / l.chunks);
        for (int i = begin; i < end; ++i) (*l.act)(i);
      },
      &loop);
}

/// `act(i)` for i in [0, n), each entry a task.
template <typename Act>
void for_all(int n, const Act& act) {
  for_tasks(n, n, act);
}

}  // namespace thawline::solver
