#pragma once

namespace thawline::test {

/// How often this program has asked for memory so far: malloc, calloc, realloc, the aligned forms
/// and all that call them, so operator new and Eigen too.
[[nodiscard]] long allocations();

}  // namespace thawline::test
