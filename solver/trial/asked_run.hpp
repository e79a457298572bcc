#pragma once

#include <string>
#include <vector>

#include "cases/case.hpp"
#include "solver/results/run_case.hpp"

namespace thawline::solver::trial {

/// What a run is to tell beside its results, at given instants (s, increasing).
struct Asked {
  struct AtProbe {
    std::string probe;
    std::vector<double> time;
  };
  struct AtItem {
    std::string item;
    double time = 0;
  };
  std::vector<AtProbe> probes;
  std::vector<AtItem> melted;
  std::vector<double> heat;
};

/// The answers, in the order asked. NaN at instants outside the run or with the item not in the
/// box.
struct Told {
  std::vector<std::vector<double>> temperature;  ///< K
  std::vector<double> melted;                    ///< kg that is liquid
  std::vector<double> heat;                      ///< J that came in
  RunResult result;
};

/// Runs a case and notes what is asked. Throws cases::InputError as `mesh::build_network` does;
/// numerics that cannot go on are told in `result.summary`.
[[nodiscard]] Told run_asked(const cases::Case& c, const Asked& asked);

}  // namespace thawline::solver::trial
