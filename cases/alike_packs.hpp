#pragma once

#include <vector>

#include "cases/case.hpp"

namespace thawline::cases {

/// Packs that are one body: alike in all but name and amount, next to each other in one place, and
/// there all the time.
struct PackBody {
  int first = -1;  ///< index into Case::coolants of the one that stands for all; its own as a rule
  double share = 1;  ///< of the body's mass
};

/// The body each coolant is part of, by coolant.
[[nodiscard]] std::vector<PackBody> pack_bodies(const Case& c);

/// The case with the mass of every body in its first coolant; the others stay, without mass. What
/// stands on one of those stands on the first, over no more than the face it named.
[[nodiscard]] Case with_bodies_joined(const Case& c, const std::vector<PackBody>& bodies);

}  // namespace thawline::cases
