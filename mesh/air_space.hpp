#pragma once

#include <vector>

namespace thawline::mesh {

/// A share of what is joined to the air belongs to this hub.
struct AirShare {
  int hub = -1;
  double share = 1;
};

/// The air that something touches, shares of sum 1: one hub where it is well mixed, several where
/// it conducts.
using AirSpace = std::vector<AirShare>;

}  // namespace thawline::mesh
