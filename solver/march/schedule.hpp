#pragma once

#include <vector>

#include "cases/case.hpp"
#include "solver/heat/heat_balance.hpp"

namespace thawline::solver {

/// Something that changes at an instant the march lands on.
struct Event {
  double at = 0;  ///< s
  int item = -1;  ///< coming or going; −1: none
  bool present = false;
  double open_air_changes = -1;  ///< 1/s from now on; −1: unchanged
};

/// What happens around the box over time.
struct Schedule {
  cases::Air air;
  bool ground_follows_air = true;
  double ground = 0;          ///< K
  std::vector<Event> events;  ///< by time
  double duration = 0;        ///< s

  [[nodiscard]] Conditions at(double time, double open_air_changes) const;
};

/// Weather, ground, lid openings and moved items of a case, from its start to the end of its run.
[[nodiscard]] Schedule make_schedule(const cases::Case& c);

}  // namespace thawline::solver
