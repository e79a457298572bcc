#include "speed/lockstep.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <stdexcept>

#include "solver/march/step.hpp"

namespace thawline::validation {

namespace {

// As in the library's march.
constexpr double share_of_step = 0.9;
constexpr double local_share = 1.0 / 20;
constexpr double longest_step = 3600, shortest_step = 1e-9;  // s

/// One case of the group: its state, and the step it tries.
class Member {
 public:
  explicit Member(const cases::Case& c)
      : balance_(mesh::build_network(c)),
        schedule_(solver::make_schedule(c)),
        outside_(schedule_, c.run.accuracy),
        stepper_(balance_, outside_, c.run.accuracy * local_share),
        now_(balance_.start_state()),
        next_(balance_.zero_state()),
        now_rates_(balance_.zero_rates()),
        next_rates_(balance_.zero_rates()),
        heat_(now_rates_.paths) {
    if (!schedule_.events.empty()) throw std::invalid_argument("a case of a lockstep has events");
  }

  [[nodiscard]] double duration() const { return schedule_.duration; }

  bool settle() { return stepper_.balance_surfaces(schedule_.at(0, 0), now_, now_rates_); }

  solver::StepOutcome attempt(double time, double dt) {
    return stepper_.attempt(time, dt, 0, now_, now_rates_, next_, next_rates_, heat_);
  }

  void accept(double end) {
    std::swap(now_.enthalpy, next_.enthalpy);
    std::swap(now_.surface, next_.surface);
    if (balance_.has_fronts()) {
      stepper_.move_fronts(schedule_.at(end, 0), now_, now_rates_);
    } else {
      std::swap(now_rates_, next_rates_);
    }
  }

 private:
  solver::HeatBalance balance_;
  solver::Schedule schedule_;
  solver::Outside outside_;
  solver::Stepper stepper_;
  solver::State now_, next_;
  solver::Rates now_rates_, next_rates_;
  Eigen::VectorXd heat_;
};

/// The length of the next step, by the errors of those before; as in the library's march.
class StepControl {
 public:
  [[nodiscard]] double dt() const { return dt_; }

  void not_converged(double dt) { dt_ = dt / 4; }

  void rejected(double dt, double error) {
    dt_ = dt * std::min({factor(error), 0.8, kink_factor(dt, error)});
    rejected_dt_ = dt;
    rejected_error_ = error;
  }

  void accepted(double dt, double error, bool lands) {
    rejected_dt_ = 0;
    if (!lands || factor(error) < 1) dt_ = dt * factor(error);
  }

 private:
  [[nodiscard]] static double factor(double error) {
    return std::clamp(share_of_step / std::cbrt(std::max(error, 1e-9)), 0.2, 2.0);
  }

  [[nodiscard]] double kink_factor(double dt, double error) const {
    if (rejected_dt_ <= dt) return 1;
    if (rejected_error_ <= error) return 0.2;
    const double slope = (rejected_error_ - error) / (rejected_dt_ - dt);
    return std::clamp(1 - (error - 0.5) / (slope * dt), 0.2, 0.8);
  }

  double dt_ = 1;
  double rejected_dt_ = 0, rejected_error_ = 0;
};

/// The attempt of all members, as one: the worst of everything.
solver::StepOutcome attempt(std::deque<Member>& members, double time, double dt) {
  solver::StepOutcome worst;
  worst.converged = true;
  for (Member& member : members) {
    const solver::StepOutcome outcome = member.attempt(time, dt);
    worst.converged = worst.converged && outcome.converged;
    worst.error = std::max(worst.error, outcome.error);
    worst.iterations = std::max(worst.iterations, outcome.iterations);
  }
  return worst;
}

}  // namespace

LockstepMarch march_in_lockstep(std::span<const cases::Case> group) {
  LockstepMarch march;
  std::deque<Member> members;
  for (const auto& c : group) members.emplace_back(c);
  for (Member& member : members) {
    if (!member.settle()) return march;
  }
  const double duration = members.front().duration();
  StepControl control;
  for (double time = 0; time < duration;) {
    const double left = duration - time;
    double dt = std::min(control.dt(), longest_step);
    const bool lands = dt >= left * (1 - 1e-9);
    dt = lands ? left : std::min(dt, 0.5 * left);
    const solver::StepOutcome outcome = attempt(members, time, dt);
    ++march.attempts;
    march.iterations += outcome.iterations;
    if (!outcome.converged) {
      control.not_converged(dt);
      if (control.dt() < shortest_step) return march;
    } else if (outcome.error > 1 && dt > shortest_step) {
      control.rejected(dt, outcome.error);
    } else {
      const double end = lands ? duration : time + dt;
      march.steps.push_back({time, end});
      for (Member& member : members) member.accept(end);
      control.accepted(dt, outcome.error, lands);
      time = end;
    }
  }
  march.completed = true;
  return march;
}

int least_steps(std::span<const LockstepMarch> alone) {
  int count = 0;
  std::vector<std::size_t> at(alone.size());
  const double duration = alone.front().steps.back().end;
  for (double time = 0; time < duration * (1 - 1e-12); ++count) {
    double shortest = std::numeric_limits<double>::infinity();
    for (std::size_t m = 0; m < alone.size(); ++m) {
      const auto& steps = alone[m].steps;
      while (at[m] + 1 < steps.size() && steps[at[m]].end <= time * (1 + 1e-12)) ++at[m];
      shortest = std::min(shortest, steps[at[m]].end - steps[at[m]].begin);
    }
    time += shortest;
  }
  return count;
}

}  // namespace thawline::validation
