#include "solver/program/batch_progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

namespace thawline::program {

namespace {

std::string time_left(double seconds) {
  if (seconds < 90) return fmt::format("{:.0f} s", seconds);
  if (seconds < 5400) return fmt::format("{:.0f} min", seconds / 60);
  return fmt::format("{:.1f} h", seconds / 3600);
}

}  // namespace

BatchProgress::BatchProgress(bool wanted) : shown_(wanted && isatty(STDERR_FILENO) != 0) {}

BatchProgress::~BatchProgress() {
  if (drawn_) fmt::print(stderr, "\r{:78}\r", "");
}

void BatchProgress::show(const solver::batch::BatchState& state) {
  if (!shown_) return;
  const auto now = Clock::now();
  if (now - last_ < std::chrono::milliseconds(200)) return;
  last_ = now;
  drawn_ = true;
  const std::chrono::duration<double> taken = now - started_;
  const auto computed = static_cast<double>(state.computed);
  const auto left = static_cast<double>(state.cases - state.kept - state.computed);
  const std::string failed = state.failed > 0 ? fmt::format(", {} failed", state.failed) : "";
  fmt::print(stderr, "\r{:78}\r{} of {} cases{}, {} left", "", state.kept + state.computed,
             state.cases, failed, time_left(taken.count() / computed * left));
  std::fflush(stderr);
}

}  // namespace thawline::program
