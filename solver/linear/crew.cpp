#include "solver/linear/crew.hpp"

#include <atomic>
#include <cstdint>
#include <thread>
#include <vector>

namespace thawline::solver {

namespace {

using Act = void (*)(const void*, int);

/// Looks for a new loop that a helper takes before it sleeps: some 20 microseconds, longer than the
/// gap between most loops of a solve and far shorter than a time slice.
constexpr int looks_before_sleep = 500;
/// Looks for the end of a helper's chunk before the caller gives up its core to it.
constexpr int looks_before_yield = 2000;

void pause_briefly() {
#if defined(__x86_64__) || defined(__i386__)
  __builtin_ia32_pause();
#endif
}

class Crew {
 public:
  ~Crew() {
    stopping_ = true;
    wake();
    for (std::thread& helper : helpers_) helper.join();
  }

  /// False when the crew is at work already, for another thread or in a loop around this one.
  bool run(int chunks, int threads, Act act, const void* data) {
    if (in_use_.exchange(true, std::memory_order_acquire)) return false;
    while (static_cast<int>(helpers_.size()) + 1 < threads) {
      helpers_.emplace_back([this, rank = static_cast<int>(helpers_.size())] { help(rank); });
    }
    publish(chunks, threads - 1, act, data);
    std::uint64_t claim = 0;
    while (take(claim)) work_on(claim);
    for (int i = 0; done_.load(std::memory_order_acquire) != chunks; ++i) {
      if (i < looks_before_yield) {
        pause_briefly();
      } else {
        std::this_thread::yield();
      }
    }
    in_use_.store(false, std::memory_order_release);
    return true;
  }

 private:
  /// What is claimed next: the number of the loop above, of the chunk below; all ones below while
  /// the loop is being described.
  static constexpr std::uint64_t closed = 0xffffffff;
  static std::uint64_t loop_of(std::uint64_t claim) { return claim >> 32; }
  static std::uint64_t chunk_of(std::uint64_t claim) { return claim & closed; }

  void publish(int chunks, int helpers, Act act, const void* data) {
    const std::uint64_t loop = (loop_of(next_.load(std::memory_order_relaxed)) + 1) << 32;
    next_.store(loop | closed, std::memory_order_seq_cst);
    chunks_.store(chunks, std::memory_order_relaxed);
    allowed_.store(helpers, std::memory_order_relaxed);
    act_.store(act, std::memory_order_relaxed);
    data_.store(data, std::memory_order_relaxed);
    done_.store(0, std::memory_order_relaxed);
    next_.store(loop, std::memory_order_release);
    wake();
  }

  void wake() {
    loops_.fetch_add(1, std::memory_order_seq_cst);
    if (asleep_.load(std::memory_order_seq_cst) > 0) loops_.notify_all();
  }

  /// Claims the next chunk of the loop at hand. A claim holds for the loop it was read from only: a
  /// loop is described anew only when all its chunks have been claimed, and its number goes up.
  bool take(std::uint64_t& claim) {
    claim = next_.load(std::memory_order_acquire);
    while (chunk_of(claim) < static_cast<std::uint64_t>(chunks_.load(std::memory_order_relaxed))) {
      if (next_.compare_exchange_weak(claim, claim + 1, std::memory_order_acq_rel)) return true;
    }
    return false;
  }

  void work_on(std::uint64_t claim) {
    act_.load(std::memory_order_relaxed)(data_.load(std::memory_order_relaxed),
                                         static_cast<int>(chunk_of(claim)));
    done_.fetch_add(1, std::memory_order_release);
  }

  void help(int rank) {
    std::uint32_t seen = loops_.load(std::memory_order_acquire);
    while (!stopping_) {
      std::uint64_t claim = 0;
      if (rank < allowed_.load(std::memory_order_relaxed)) {
        while (take(claim)) work_on(claim);
      }
      for (int i = 0; i < looks_before_sleep && loops_.load(std::memory_order_acquire) == seen;
           ++i) {
        pause_briefly();
      }
      asleep_.fetch_add(1, std::memory_order_seq_cst);
      loops_.wait(seen, std::memory_order_seq_cst);
      asleep_.fetch_sub(1, std::memory_order_seq_cst);
      seen = loops_.load(std::memory_order_acquire);
    }
  }

  std::atomic<bool> in_use_{false};
  std::vector<std::thread> helpers_;
  std::atomic<std::uint64_t> next_{closed};
  std::atomic<int> chunks_{0}, allowed_{0}, done_{0};
  std::atomic<Act> act_{nullptr};
  std::atomic<const void*> data_{nullptr};
  std::atomic<std::uint32_t> loops_{0};
  std::atomic<int> asleep_{0};
  std::atomic<bool> stopping_{false};
};

}  // namespace

void run_chunks(int chunks, int threads, Act act, const void* data) {
  // One crew a process, as OpenMP has one; made when it is first needed.
  static Crew crew;
  if (threads > 1 && chunks > 1 && crew.run(chunks, threads, act, data)) return;
  for (int chunk = 0; chunk < chunks; ++chunk) act(data, chunk);
}

}  // namespace thawline::solver
