#pragma once

#include <cstddef>

namespace thawline::solver {

/// An index ≥ 0 as the standard library counts.
constexpr std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace thawline::solver
