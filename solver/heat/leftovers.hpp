#pragma once

#include <vector>

#include "solver/heat/link_flows.hpp"

namespace thawline::solver {

/// A cell that takes a share of what is left over at a surface.
struct Leftover {
  int hub = -1, cell = -1;
  double share = 1;
};

/// Who takes what is left over at each surface, so that a balance known to a tolerance still
/// conserves energy to round-off: the cell behind it. Where several surfaces meet without a cell,
/// as in the long-wave exchange, the cells behind them share it by the links in force.
[[nodiscard]] std::vector<Leftover> leftovers_of(const mesh::Network& network,
                                                 const LinkFlows& links);

}  // namespace thawline::solver
