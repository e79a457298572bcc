#include "random_cases/random_weather.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace thawline::random_cases {

namespace {

/// Rows by the minute or by hours, with jumps; it may begin before the run and end before or after
/// it does.
std::string trace(Draw& draw, double duration) {
  std::string csv = "time [s], air [degC]\n";
  const int rows = draw.whole(2, draw.chance(0.3) ? 300 : 40);
  const double span = duration * draw.between(0.3, 1.5);
  double time = draw.chance(0.3) ? -draw.between(0, 0.3 * span) : 0;
  double temperature = draw.between(-20, 40);
  for (int i = 0; i < rows; ++i) {
    csv += fmt::format("{:.1f}, {:.3f}\n", time, temperature);
    time += std::max(1.0, span / rows * (draw.chance(0.1) ? 0.001 : draw.between(0.5, 1.5)));
    const double change = draw.chance(0.1) ? 25 : 2;
    temperature = std::clamp(temperature + draw.between(-change, change), -40.0, 55.0);
  }
  return csv;
}

}  // namespace

DrawnSurroundings draw_surroundings(Draw& draw, double duration, const std::string& trace_file) {
  DrawnSurroundings drawn;
  YAML::Node& entry = drawn.entry;
  const double form = draw.between(0, 1);
  if (form < 0.35) {
    entry["air"] = fmt::format("{:.5g} degC", draw.between(-25, 45));
  } else if (form < 0.75) {
    entry["air"]["mean"] = fmt::format("{:.5g} degC", draw.between(-15, 40));
    entry["air"]["swing"] = fmt::format("{:.4g} K", draw.between(0, 15));
    entry["air"]["warmest_at"] = fmt::format("{:.4g} h", draw.between(0, 24));
  } else {
    entry["air"]["trace"] = trace_file;
    drawn.trace = trace(draw, duration);
  }
  if (draw.chance(0.3)) {
    entry["wind"] = fmt::format("{:.3g} m/s", draw.between(0, 20));
  } else if (draw.chance(0.3)) {
    entry["outside_coefficient"] = fmt::format("{:.4g} W/m2/K", draw.by_ratio(0.5, 500));
  }
  if (draw.chance(0.3)) entry["long_wave"] = draw.chance(0.5) ? "on" : "off";
  if (draw.chance(0.4)) {
    entry["stands_on"]["coefficient"] = fmt::format("{:.4g} W/m2/K", draw.by_ratio(0.05, 500));
    if (draw.chance(0.5)) {
      entry["stands_on"]["temperature"] = fmt::format("{:.4g} degC", draw.between(-20, 40));
    }
  }
  return drawn;
}

YAML::Node draw_happenings(Draw& draw, double duration, const std::vector<std::string>& items) {
  std::multimap<double, YAML::Node> by_time;
  const auto put = [&by_time](double at, const char* what, const std::string& value) {
    YAML::Node node;
    node["at"] = fmt::format("{:.1f} s", at);
    node[what] = value;
    by_time.emplace(at, node);
    return node;
  };
  const auto instant = [&] { return std::round(draw.between(0, 1.05 * duration)); };
  const int openings = draw.chance(0.5) ? draw.whole(1, 4) : 0;
  double earliest = 0;
  for (int i = 0; i < openings; ++i) {
    const double at = earliest + std::round(draw.between(0, duration / openings));
    const double open = std::round(draw.by_ratio(1, 3600));
    YAML::Node node = put(at, "open_lid", fmt::format("{:.0f} s", open));
    if (draw.chance(0.3)) {
      node["air_changes"] = fmt::format("{:.4g} 1/min", draw.by_ratio(0.05, 100));
    }
    earliest = at + open;
  }
  for (const auto& item : items) {
    const double how = draw.between(0, 1);
    if (how < 0.7) continue;
    const double first = instant();
    if (how < 0.8) {
      put(first, "remove", item);
      continue;
    }
    put(first, "add", item);
    if (how > 0.9) put(first + std::round(draw.by_ratio(1, 1 + duration)), "remove", item);
  }
  YAML::Node list;
  for (const auto& [at, node] : by_time) list.push_back(node);
  return list;
}

}  // namespace thawline::random_cases
