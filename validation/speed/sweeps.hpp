#pragma once

#include <string>
#include <vector>

#include "cases/case.hpp"

namespace thawline::validation {

/// Cases that differ in one value, in its order: neighbours are as alike as a sweep makes them.
struct Sweep {
  std::string name;
  std::vector<cases::Case> cases;
};

/// Walls, lid and base of 20 … 60 mm of foam.
[[nodiscard]] Sweep foam_sweep(const cases::Case& base, int count);
/// 70 … 130 % of the coolant.
[[nodiscard]] Sweep coolant_sweep(const cases::Case& base, int count);

}  // namespace thawline::validation
