#include "solver/march/march.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace thawline::solver {

namespace {

/// A quantity at the share `s` of a step of `dt` from y0 to y1 that it ends at the rate r1.
double between(double s, double dt, double y0, double y1, double r1) {
  return y1 - (1 - s) * ((1 - s) * (y1 - y0) + s * dt * r1);
}

/// After a step that was shortened to a kink the next tries so much of what that one was to take.
constexpr double share_after_kink = 0.5;
/// Local error allowed, as a share of the accuracy asked.
constexpr double local_share = 1.0 / 20;
constexpr double shortest_step = 1e-9;
/// How much further, as a share of the duration, `MarchOptions::patience` attempts must bring it.
constexpr double least_way = 1e-4;

}  // namespace

double StepView::enthalpy(int cell, double time) const {
  if (end <= begin) return to->enthalpy[cell];
  return between((time - begin) / (end - begin), end - begin, from->enthalpy[cell],
                 to->enthalpy[cell], to_rates->cells[cell]);
}

double StepView::surface(int hub, double time) const {
  if (end <= begin) return to->surface[hub];
  const double share = (time - begin) / (end - begin);
  return (1 - share) * from->surface[hub] + share * to->surface[hub];
}

double StepView::heat(int path, double time) const {
  if (end <= begin) return (*heat_after)[path];
  return between((time - begin) / (end - begin), end - begin, (*heat_before)[path],
                 (*heat_after)[path], to_rates->paths[path]);
}

namespace {

class March {
 public:
  March(HeatBalance& balance, const Schedule& schedule, const MarchOptions& options,
        Watcher& watcher)
      : balance_(balance),
        schedule_(schedule),
        outside_(schedule, options.accuracy),
        options_(options),
        watcher_(watcher),
        stepper_(balance, outside_, options.accuracy * local_share),
        now_(balance.start_state()),
        next_(balance.zero_state()),
        now_rates_(balance.zero_rates()),
        next_rates_(balance.zero_rates()),
        heat_(Eigen::VectorXd::Zero(now_rates_.paths.size())),
        heat_next_(heat_),
        step_heat_(heat_),
        gross_(heat_),
        aim_(stepper_.tolerances().aim) {
    for (const auto& source : balance.network().sources) {
      for (std::size_t i = 0; i < source.rows.size(); ++i) {
        const double at = source.rows[i].time;
        const bool jumps =
            source.stepwise || (i + 1 < source.rows.size() && source.rows[i + 1].time <= at);
        if (at > 0) source_changes_.push_back({at, jumps});
      }
    }
    std::sort(source_changes_.begin(), source_changes_.end(),
              [](const SourceChange& a, const SourceChange& b) { return a.at < b.at; });
  }

  Summary run() {
    start();
    while (going_ && time_ < schedule_.duration) {
      apply_due_events();
      if (!going_) break;
      const double stop = next_stop();
      while (going_ && time_ < stop) step_towards(stop);
    }
    finish();
    return summary_;
  }

 private:
  [[nodiscard]] Conditions conditions() const { return outside_.at(time_, open_, time_); }

  void stop(const std::string& reason) {
    going_ = false;
    summary_.stop_reason = reason;
  }

  void settle() {
    if (!stepper_.balance_surfaces(conditions(), now_, now_rates_)) {
      stop(fmt::format("surfaces could not be balanced at {:.3f} h", time_ / 3600));
    }
  }

  void start() {
    settle();
    stored_at_start_ = stepper_.stored(now_);
    if (going_) show_instant();
  }

  [[nodiscard]] StepView view(double begin, double end) const {
    return {begin,        end,    &balance_,   &now_,  &next_,      &now_rates_,
            &next_rates_, &heat_, &heat_next_, moved_, conditions()};
  }

  void show_instant() {
    next_ = now_;
    next_rates_ = now_rates_;
    heat_next_ = heat_;
    watcher_.at_instant(view(time_, time_));
  }

  void apply_due_events() {
    bool changed = false;
    while (next_event_ < schedule_.events.size() && schedule_.events[next_event_].at <= time_) {
      const Event& event = schedule_.events[next_event_++];
      if (event.open_air_changes >= 0) open_ = event.open_air_changes;
      if (event.item >= 0 && balance_.present(event.item) != event.present) move_item(event);
      changed = true;
    }
    while (next_change_ < source_changes_.size() && source_changes_[next_change_].at <= time_) {
      changed = source_changes_[next_change_++].jumps || changed;
    }
    if (!changed) return;
    settle();
    dt_ = std::min(dt_, 10.0);
    show_instant();
  }

  void move_item(const Event& event) {
    const double before = stepper_.stored(now_);
    balance_.set_present(event.item, event.present);
    const double change = stepper_.stored(now_) - before;
    moved_ += change;
    exchanged_by_items_ += std::abs(change);
  }

  [[nodiscard]] double next_stop() const {
    double stop = schedule_.duration;
    if (next_event_ < schedule_.events.size()) {
      stop = std::min(stop, schedule_.events[next_event_].at);
    }
    if (next_change_ < source_changes_.size()) {
      stop = std::min(stop, source_changes_[next_change_].at);
    }
    return stop;
  }

  /// The length of the next step, s: what its error should allow, but no further than `stop_at`
  /// and, where it was not just rejected, than to a kink.
  struct Length {
    double dt = 0, uncut = 0;  ///< uncut: without a kink ahead
    bool lands = false;        ///< on `stop_at`
  };
  [[nodiscard]] Length next_length(double stop_at) const {
    const double left = stop_at - time_;
    const bool fixed = options_.fixed_step > 0;
    double dt = fixed ? options_.fixed_step
                      : std::min({dt_, options_.longest_step, outside_.longest_step(time_)});
    const bool lands = dt >= left * (1 - 1e-9);
    if (lands) {
      dt = left;
    } else if (dt > 0.5 * left && !fixed) {
      dt = 0.5 * left;
    }
    if (fixed || rejected_dt_ > 0) return {dt, dt, lands};
    const double shortened = stepper_.shortened_to_kink(now_, now_rates_, dt);
    return {shortened, dt, lands && shortened >= dt};
  }

  void step_towards(double stop_at) {
    const auto [dt, uncut, lands] = next_length(stop_at);
    const StepOutcome outcome =
        stepper_.attempt(time_, dt, open_, now_, now_rates_, next_, next_rates_, step_heat_);
    summary_.newton_iterations += outcome.iterations;
    if (!outcome.converged) {
      ++summary_.rejected;
      dt_ = dt / 4;
      if (dt_ < shortest_step || options_.fixed_step > 0) {
        this->stop(fmt::format("the heat balance could not be solved at {:.4f} h (step {:.2g} s{})",
                               time_ / 3600, dt, limiting_place(false)));
      }
      check_way(false);
      return;
    }
    const double factor = std::clamp(aim_ / std::cbrt(std::max(outcome.error, 1e-9)), 0.2, 2.0);
    if (options_.fixed_step <= 0 && outcome.error > 1 && dt > shortest_step) {
      ++summary_.rejected;
      dt_ = dt * std::min({factor, 0.8, kink_factor(dt, outcome.error)});
      rejected_dt_ = dt;
      rejected_error_ = outcome.error;
      check_way(true);
      return;
    }
    rejected_dt_ = 0;
    accept(lands ? stop_at : time_ + dt, outcome);
    check_way(true);
    if (dt < uncut) {
      dt_ = std::max(dt * factor, share_after_kink * uncut);
    } else if (!lands || factor < 1) {
      dt_ = dt * factor;
    }
  }

  /// Stops a march that crawls.
  void check_way(bool converged) {
    if (!going_ || ++attempts_ < options_.patience) return;
    const double way = time_ - looked_at_;
    if (way < least_way * schedule_.duration) {
      stop(fmt::format("{} attempted steps brought it only {:.2g} s further, to {:.4f} h{}",
                       attempts_, way, time_ / 3600, limiting_place(converged)));
    }
    attempts_ = 0;
    looked_at_ = time_;
  }

  /// Which cell kept the last attempt from being accepted, for a message.
  [[nodiscard]] std::string limiting_place(bool converged) const {
    const int cell = stepper_.limiting_cell(converged);
    if (cell < 0) return "";
    const auto& network = balance_.network();
    const auto& c = network.cells[static_cast<std::size_t>(cell)];
    return fmt::format("; it is held up by cell {} in '{}', at {:.3f} degC", cell,
                       network.parts[static_cast<std::size_t>(c.part)],
                       balance_.thermal_state(now_, cell).temperature - 273.15);
  }

  /// After a second rejection in a row: the error beyond a kink falls in proportion to what the
  /// step reaches past it, not by the third power. Aims at the kink by the secant of the two.
  [[nodiscard]] double kink_factor(double dt, double error) const {
    if (rejected_dt_ <= dt) return 1;
    if (rejected_error_ <= error) return 0.2;
    const double slope = (rejected_error_ - error) / (rejected_dt_ - dt);
    return std::clamp(1 - (error - 0.5) / (slope * dt), 0.2, 0.8);
  }

  void accept(double end, const StepOutcome& outcome) {
    ++summary_.steps;
    summary_.worst_residual = std::max(summary_.worst_residual, outcome.residual);
    heat_next_ = heat_ + step_heat_;
    gross_ += step_heat_.cwiseAbs();
    const double begin = time_;
    time_ = end;
    watcher_.after_step(view(begin, end));
    std::swap(now_.enthalpy, next_.enthalpy);
    std::swap(now_.surface, next_.surface);
    std::swap(heat_, heat_next_);
    if (balance_.has_fronts()) {
      stepper_.move_fronts(conditions(), now_, now_rates_);
    } else {
      std::swap(now_rates_, next_rates_);
    }
  }

  void finish() {
    summary_.completed = going_;
    if (going_) summary_.stop_reason = "reached the end";
    summary_.stopped_at = time_;
    summary_.linear_iterations = stepper_.linear_iterations();
    summary_.stored = stepper_.stored(now_) - stored_at_start_ - moved_;
    summary_.heat_in = heat_.sum();
    summary_.heat_exchanged = std::max(gross_.sum() + exchanged_by_items_, 1e-9);
    summary_.closure = std::abs(summary_.heat_in - summary_.stored) / summary_.heat_exchanged;
  }

  HeatBalance& balance_;
  const Schedule& schedule_;
  Outside outside_;
  MarchOptions options_;
  Watcher& watcher_;
  Stepper stepper_;
  State now_, next_;
  Rates now_rates_, next_rates_;
  Eigen::VectorXd heat_, heat_next_, step_heat_, gross_;
  Summary summary_;
  double aim_;
  double time_ = 0;
  double dt_ = 1;
  double open_ = 0;
  double rejected_dt_ = 0;  ///< s, of the attempt just before this one when that was rejected
  double rejected_error_ = 0;
  int attempts_ = 0;      ///< since the way made was last looked at
  double looked_at_ = 0;  ///< s, where the march was then
  double moved_ = 0;
  double exchanged_by_items_ = 0;
  double stored_at_start_ = 0;
  std::size_t next_event_ = 0;
  struct SourceChange {
    double at = 0;  ///< s
    bool jumps = false;
  };
  std::vector<SourceChange> source_changes_;  ///< where their schedules have kinks or jump
  std::size_t next_change_ = 0;
  bool going_ = true;
};

}  // namespace

// Each comparison is false for what is not a number.
std::string fault_of(const MarchOptions& options) {
  const auto sentence = [](const char* option, double value, const char* constraint) {
    return fmt::format("the march's option {} is {:g}, but must be {}", option, value, constraint);
  };
  if (!(options.accuracy > 0 && std::isfinite(options.accuracy))) {
    return sentence("accuracy", options.accuracy, "a finite number of K above 0");
  }
  if (!(options.longest_step > 0)) {
    return sentence("longest_step", options.longest_step, "a number of s above 0");
  }
  if (!(options.fixed_step >= 0 && std::isfinite(options.fixed_step))) {
    return sentence("fixed_step", options.fixed_step,
                    "a finite number of s above 0, or 0 for step control");
  }
  if (options.patience < 1) {
    return sentence("patience", options.patience, "at least 1 attempt");
  }
  return "";
}

Summary march(HeatBalance& balance, const Schedule& schedule, const MarchOptions& options,
              Watcher& watcher) {
  Summary refused;
  refused.stop_reason = fault_of(options);
  if (!refused.stop_reason.empty()) return refused;
  return March(balance, schedule, options, watcher).run();
}

}  // namespace thawline::solver
