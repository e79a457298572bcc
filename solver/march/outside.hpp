#pragma once

#include <limits>
#include <optional>

#include "solver/march/averaged_trace.hpp"
#include "solver/march/schedule.hpp"

namespace thawline::solver {

/// The surroundings as a march of a given accuracy sees them: those of the schedule, a trace
/// averaged as far as that changes what has come in by an hour of the accuracy at most. Borrows the
/// schedule.
class Outside {
 public:
  /// `accuracy` in K.
  Outside(const Schedule& schedule, double accuracy) : schedule_(schedule) {
    constexpr double hour = 3600;
    if (const auto* trace = std::get_if<cases::Trace>(&schedule.air)) {
      averaged_.emplace(*trace, schedule.duration, accuracy * hour);
    }
  }

  /// At `time` of a step that began at `since`, s.
  [[nodiscard]] Conditions at(double time, double open_air_changes, double since) const {
    Conditions conditions = schedule_.at(time, open_air_changes);
    conditions.since = since;
    if (!averaged_) return conditions;
    conditions.air = averaged_->at(time);
    if (schedule_.ground_follows_air) conditions.ground = conditions.air;
    return conditions;
  }

  /// The longest step (s) from `time` that misses nothing of the surroundings.
  [[nodiscard]] double longest_step(double time) const {
    return averaged_ ? averaged_->longest_step(time) : std::numeric_limits<double>::infinity();
  }

 private:
  const Schedule& schedule_;
  std::optional<AveragedTrace> averaged_;
};

}  // namespace thawline::solver
