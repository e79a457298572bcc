#pragma once

#include <ctime>

namespace thawline::validation {

/// Time that the processor gave to this thread, s: what else runs on the machine does not count.
[[nodiscard]] inline double seconds_of_this_thread() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

}  // namespace thawline::validation
