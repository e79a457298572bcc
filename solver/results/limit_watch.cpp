#include "solver/results/limit_watch.hpp"

#include <algorithm>

#include "solver/results/crossing.hpp"

namespace thawline::solver {

double Hold::hold_time() const {
  return end_time < 0 || chill_time < 0 ? never : end_time - chill_time;
}

double Hold::held(double until) const {
  if (chill_time < 0) return 0;
  return (end_time < 0 ? until : end_time) - chill_time;
}

double LimitResult::hold_time() const { return Hold{chill_time, end_time}.hold_time(); }

double LimitResult::held(double duration) const {
  return Hold{chill_time, end_time}.held(std::min(duration, known_until));
}

double LimitResult::held_least(double duration) const {
  const double until = std::min(duration, known_until);
  return std::min({tighter.held(until), held(duration), looser.held(until)});
}

double LimitResult::held_most(double duration) const {
  const double until = std::min(duration, known_until);
  return std::max({tighter.held(until), held(duration), looser.held(until)});
}

bool LimitResult::is_flat(double duration) const {
  if (chill_time < 0) return false;
  const double about = held(duration);
  return about - held_least(duration) > flat_share * about ||
         held_most(duration) - about > flat_share * about;
}

LimitWatch::LimitWatch(const cases::Limit& limit, const mesh::Network& network, double last)
    : last_(last) {
  result_.limit = limit;
  tighter_.outward = -limit.logger_error;
  looser_.outward = limit.logger_error;
  for (const auto& name : limit.probes) {
    for (const auto& probe : network.probes) {
      if (probe.name == name) probes_.push_back(probe);
    }
  }
}

double LimitWatch::past(const StepView& view, double time) const {
  const bool above = result_.limit.side == cases::Side::not_above;
  double worst = -1e9;
  for (const auto& probe : probes_) {
    if (!view.balance->present(probe.item)) continue;
    const double t = probe_temperature(view, probe, time);
    worst = std::max(worst, above ? t - result_.limit.temperature : result_.limit.temperature - t);
  }
  return worst;
}

void LimitWatch::Track::cross(double time, bool goes_out) {
  if (goes_out) {
    outside = true;
    outside_since = time;
    if (hold.end_time < 0) hold.end_time = time;
    return;
  }
  outside = false;
  if (hold.chill_time < 0) {
    hold.chill_time = time;
    return;
  }
  if (++returns == 1) came_back_at = time;
  time_past += time - outside_since;
}

void LimitWatch::Track::look(double time, double past) {
  // Starting exactly at the limit is within it.
  const bool now_outside = past - outward > 1e-9;
  if (hold.chill_time < 0) {
    if (!now_outside) cross(time, false);
  } else if (now_outside != outside) {
    cross(time, now_outside);
  }
}

void LimitWatch::note(double past) {
  if (result_.chill_time < 0) return;
  const bool above = result_.limit.side == cases::Side::not_above;
  const double now = result_.limit.temperature + (above ? past : -past);
  if (!result_.worst) result_.worst = now;
  result_.worst = above ? std::max(*result_.worst, now) : std::min(*result_.worst, now);
}

void LimitWatch::take_over() {
  result_.chill_time = track_.hold.chill_time;
  result_.end_time = track_.hold.end_time;
  result_.time_past = track_.time_past;
  result_.returns = track_.returns;
  result_.came_back_at = track_.came_back_at;
  result_.tighter = tighter_.hold;
  result_.looser = looser_.hold;
}

void LimitWatch::at_instant(const StepView& view) {
  if (view.end > last_) return;
  const double p = past(view, view.end);
  if (p < -1e8) return;  // nothing to watch is in the box
  result_.known_until = view.end;
  for (Track* track : {&track_, &tighter_, &looser_}) track->look(view.end, p);
  take_over();
  note(p);
}

void LimitWatch::follow(const StepView& view, Track& track, double from, double past_from,
                        double to, double past_to) {
  const double last = past_from - track.outward;
  const double now = past_to - track.outward;
  const bool now_outside = now > 1e-9;
  if (now_outside == track.outside) return;
  const auto value = [&](double t) { return past(view, t) - track.outward; };
  track.cross(last * now < 0 ? crossing(value, from, to) : to, now_outside);
}

void LimitWatch::after_step(const StepView& view) {
  constexpr int pieces = 4;
  const double end = std::min(view.end, last_);
  if (view.begin >= end) return;
  double last_time = view.begin;
  double last = past(view, last_time);
  if (last < -1e8) return;
  result_.known_until = end;
  for (int i = 1; i <= pieces; ++i) {
    const double time = view.begin + (end - view.begin) * i / pieces;
    const double p = past(view, time);
    const bool met_before = result_.chill_time >= 0;
    for (Track* track : {&track_, &tighter_, &looser_}) {
      follow(view, *track, last_time, last, time, p);
    }
    result_.chill_time = track_.hold.chill_time;
    if (!met_before && result_.chill_time >= 0) note(0);  // it was at the limit as it met it
    note(p);
    last_time = time;
    last = p;
  }
  if (track_.outside && track_.hold.chill_time >= 0) {
    track_.time_past += end - track_.outside_since;
    track_.outside_since = end;
  }
  take_over();
}

}  // namespace thawline::solver
