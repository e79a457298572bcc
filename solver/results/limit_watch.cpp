#include "solver/results/limit_watch.hpp"

#include <algorithm>

#include "solver/results/crossing.hpp"

namespace thawline::solver {

double LimitResult::hold_time() const {
  return end_time < 0 || chill_time < 0 ? never : end_time - chill_time;
}

double LimitResult::held(double duration) const {
  if (chill_time < 0) return 0;
  return (end_time < 0 ? std::min(duration, known_until) : end_time) - chill_time;
}

LimitWatch::LimitWatch(const cases::Limit& limit, const mesh::Network& network, double last)
    : last_(last) {
  result_.limit = limit;
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

void LimitWatch::cross(double time, bool outward) {
  if (outward) {
    outside_ = true;
    outside_since_ = time;
    if (result_.end_time < 0) result_.end_time = time;
    return;
  }
  outside_ = false;
  if (result_.chill_time < 0) {
    result_.chill_time = time;
    return;
  }
  ++result_.returns;
  result_.time_past += time - outside_since_;
}

void LimitWatch::note(double past) {
  if (result_.chill_time < 0) return;
  const bool above = result_.limit.side == cases::Side::not_above;
  const double now = result_.limit.temperature + (above ? past : -past);
  if (!result_.worst) result_.worst = now;
  result_.worst = above ? std::max(*result_.worst, now) : std::min(*result_.worst, now);
}

void LimitWatch::at_instant(const StepView& view) {
  if (view.end > last_) return;
  const double p = past(view, view.end);
  if (p < -1e8) return;  // nothing to watch is in the box
  result_.known_until = view.end;
  // Starting exactly at the limit is within it.
  const bool outside = p > 1e-9;
  if (result_.chill_time < 0) {
    if (!outside) cross(view.end, false);
  } else if (outside != outside_) {
    cross(view.end, outside);
  }
  note(p);
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
    const bool outside = p > 1e-9;
    if (outside != outside_) {
      const auto value = [&](double t) { return past(view, t); };
      const bool met_now = result_.chill_time < 0;
      cross(last * p < 0 ? crossing(value, last_time, time) : time, outside);
      if (met_now) note(0);  // it was at the limit as it met it
    }
    note(p);
    last_time = time;
    last = p;
  }
  if (outside_ && result_.chill_time >= 0) {
    result_.time_past += end - outside_since_;
    outside_since_ = end;
  }
}

}  // namespace thawline::solver
