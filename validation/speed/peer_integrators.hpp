#pragma once

#include <vector>

#include "mesh/network.hpp"
#include "solver/march/march.hpp"
#include "solver/results/crossing.hpp"
#include "solver/results/probes.hpp"

/// The library's cells and links marched by SUNDIALS, with the library's own Jacobian and bordered
/// solve in place of SUNDIALS' matrices, so that only the march differs.
namespace thawline::validation {

/// What is looked at: all probes and the first limit of a case.
struct Watched {
  std::vector<mesh::Probe> probes;
  mesh::Probe limited;
  double limit = 0;  ///< K
};

struct Problem {
  mesh::Network network;
  solver::Schedule schedule;
  Watched watched;
};

[[nodiscard]] inline Problem problem_of(const cases::Case& c, const mesh::Network& network) {
  Problem p{network, solver::make_schedule(c), {network.probes, {}, c.limits.front().temperature}};
  for (const auto& probe : network.probes) {
    if (probe.name == c.limits.front().probes.front()) p.watched.limited = probe;
  }
  return p;
}

struct Answer {
  bool completed = false;
  double end = -1;                   ///< s, first upward crossing of the limit
  std::vector<double> temperatures;  ///< K, output by output, probe by probe
  long steps = 0, attempts = 0, iterations = 0, evaluations = 0;
};

/// CVODE (BDF, order up to 5): enthalpies of cells only; at each evaluation the surfaces, which
/// have no heat capacity, are balanced first. `tolerance` in K, by each cell's heat capacity.
[[nodiscard]] Answer by_cvode(const Problem& problem, double tolerance, double output_every);

/// IDA (BDF, order up to 5): surfaces are algebraic equations beside the enthalpies.
[[nodiscard]] Answer by_ida(const Problem& problem, double tolerance, double output_every);

}  // namespace thawline::validation
