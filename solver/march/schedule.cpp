#include "solver/march/schedule.hpp"

#include <algorithm>

namespace thawline::solver {

Conditions Schedule::at(double time, double open_air_changes) const {
  const double outside = cases::temperature_at(air, time);
  return {outside, ground_follows_air ? outside : ground, open_air_changes, time, time};
}

namespace {

int item_index(const cases::Case& c, const std::string& name) {
  int index = 0;
  for (const auto& coolant : c.coolants) {
    if (coolant.name == name) return index;
    ++index;
  }
  for (const auto& payload : c.payloads) {
    if (payload.name == name) return index;
    ++index;
  }
  return -1;
}

}  // namespace

Schedule make_schedule(const cases::Case& c) {
  Schedule schedule;
  schedule.air = c.surroundings.air;
  schedule.duration = c.run.duration;
  schedule.ground_follows_air = !c.surroundings.base_temperature.has_value();
  schedule.ground = c.surroundings.base_temperature.value_or(0);
  for (const auto& happening : c.happenings) {
    if (const auto* open = std::get_if<cases::OpenLid>(&happening.what)) {
      schedule.events.push_back({happening.at, -1, false, open->air_changes});
      schedule.events.push_back({happening.at + open->duration, -1, false, 0});
    } else if (const auto* add = std::get_if<cases::AddItem>(&happening.what)) {
      schedule.events.push_back({happening.at, item_index(c, add->item), true, -1});
    } else {
      const auto& remove = std::get<cases::RemoveItem>(happening.what);
      schedule.events.push_back({happening.at, item_index(c, remove.item), false, -1});
    }
  }
  std::stable_sort(schedule.events.begin(), schedule.events.end(),
                   [](const Event& a, const Event& b) { return a.at < b.at; });
  return schedule;
}

}  // namespace thawline::solver
