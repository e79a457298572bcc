#pragma once

#include <chrono>

#include "solver/batch/run_batch.hpp"

namespace thawline::program {

/// Cases done and time left on standard error; silent when that is no terminal.
class BatchProgress {
 public:
  explicit BatchProgress(bool wanted);
  ~BatchProgress();
  BatchProgress(const BatchProgress&) = delete;
  BatchProgress& operator=(const BatchProgress&) = delete;
  BatchProgress(BatchProgress&&) = delete;
  BatchProgress& operator=(BatchProgress&&) = delete;

  void show(const solver::batch::BatchState& state);

 private:
  using Clock = std::chrono::steady_clock;
  bool shown_;
  bool drawn_ = false;
  Clock::time_point started_ = Clock::now();
  Clock::time_point last_ = started_;
};

}  // namespace thawline::program
