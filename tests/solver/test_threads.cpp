#include <omp.h>

#include <algorithm>
#include <atomic>
#include <catch2/catch.hpp>
#include <thread>
#include <vector>

#include "solver/linear/threads.hpp"

using namespace thawline;

namespace {

/// Runs loops of `tasks` tasks and returns how often each task was done in all of them.
std::vector<int> counts_of(int tasks, int loops, int threads) {
  const int before = omp_get_max_threads();
  omp_set_num_threads(threads);
  std::vector<int> counts(static_cast<std::size_t>(tasks), 0);
  for (int i = 0; i < loops; ++i) {
    solver::for_tasks(tasks, solver::threads_from,
                      [&](int task) { ++counts[static_cast<std::size_t>(task)]; });
  }
  omp_set_num_threads(before);
  return counts;
}

}  // namespace

TEST_CASE("every task of a loop is done once, however many threads share it", "[solver]") {
  for (const int threads : {1, 2, 3, 8}) {
    for (const int tasks : {0, 1, 2, 7, 1000}) {
      const auto counts = counts_of(tasks, 500, threads);
      INFO(threads << " threads, " << tasks << " tasks");
      CHECK(std::all_of(counts.begin(), counts.end(), [](int n) { return n == 500; }));
    }
  }
}

TEST_CASE("loops of two threads at once, and loops within loops, do all their tasks", "[solver]") {
  std::vector<std::thread> callers;
  std::vector<std::vector<int>> counts(3);
  for (auto& own : counts) {
    callers.emplace_back([&own] {
      own.assign(64, 0);
      omp_set_num_threads(2);
      for (int i = 0; i < 300; ++i) {
        solver::for_tasks(8, solver::threads_from, [&](int outer) {
          solver::for_tasks(8, solver::threads_from,
                            [&](int inner) { ++own[static_cast<std::size_t>(8 * outer + inner)]; });
        });
      }
    });
  }
  for (auto& caller : callers) caller.join();
  for (const auto& own : counts) {
    CHECK(std::all_of(own.begin(), own.end(), [](int n) { return n == 300; }));
  }
}

TEST_CASE("a small loop stays on its thread", "[solver]") {
  const auto here = std::this_thread::get_id();
  std::atomic<int> elsewhere = 0;
  solver::for_all(solver::threads_from - 1, [&](int) {
    if (std::this_thread::get_id() != here) ++elsewhere;
  });
  CHECK(elsewhere == 0);
}
