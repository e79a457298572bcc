#pragma once

namespace thawline::solver {

/// Loops over fewer entries than this run on one thread, where they are faster (measured).
inline constexpr int threads_from = 8000;

}  // namespace thawline::solver
