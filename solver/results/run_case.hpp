#pragma once

#include <vector>

#include "cases/case.hpp"
#include "mesh/network.hpp"
#include "solver/results/item_watch.hpp"
#include "solver/results/what_ended.hpp"

namespace thawline::solver {

/// Everything a run answers.
struct RunResult {
  Summary summary;
  std::vector<LimitResult> limits;
  std::vector<Ended> ended;          ///< as `limits`
  std::vector<ItemResult> items;     ///< as Network::items
  std::vector<double> heat_by_path;  ///< J, as Network::paths
};

/// More watchers of a run: a history writer, a progress bar.
using Watchers = std::vector<Watcher*>;

/// Runs a case on its network, as fine in time as `run.accuracy` asks. `network` is that of
/// `mesh::build_network(c)`; watchers are called in their order and not owned. Does not throw for
/// numerics: `summary.completed` is false and `summary.stop_reason` says why where it cannot go on.
[[nodiscard]] RunResult run_network(const cases::Case& c, const mesh::Network& network,
                                    const Watchers& watchers);

/// Settles how coolants come out of their freezers, builds the network and runs it. Throws what
/// `mesh::build_network` and `settle_starts` do.
[[nodiscard]] RunResult run_case(const cases::Case& c);

}  // namespace thawline::solver
