#include "solver/program/progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

namespace thawline::program {

Progress::Progress(double duration, bool wanted)
    : duration_(duration), shown_(wanted && isatty(STDERR_FILENO) != 0) {}

Progress::~Progress() {
  if (shown_ && last_ >= 0) fmt::print(stderr, "\r{:60}\r", "");
}

void Progress::at_instant(const solver::StepView& /*view*/) {}

void Progress::after_step(const solver::StepView& view) {
  if (!shown_) return;
  const int tenth = static_cast<int>(40 * view.end / duration_);
  if (tenth == last_) return;
  last_ = tenth;
  fmt::print(stderr, "\r|{:<40}| {:5.1f} h", std::string(static_cast<std::size_t>(tenth), '='),
             view.end / 3600);
  std::fflush(stderr);
}

}  // namespace thawline::program
