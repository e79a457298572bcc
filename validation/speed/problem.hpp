#pragma once

#include <string>
#include <vector>

#include "mesh/network.hpp"
#include "solver/march/schedule.hpp"

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
  std::string gave_up = {};               ///< why, where it is not completed
  double reached = 0;                     ///< s
  double end = -1;                        ///< s, first upward crossing of the limit
  std::vector<double> temperatures = {};  ///< K, output by output, probe by probe
  long steps = 0, attempts = 0, iterations = 0, evaluations = 0;
  long failed = 0;      ///< attempts in which Newton did not converge
  long factorings = 0;  ///< of the matrix of a peer
};

}  // namespace thawline::validation
