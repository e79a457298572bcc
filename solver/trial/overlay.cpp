#include "solver/trial/overlay.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "solver/trial/test_case.hpp"

namespace thawline::solver::trial {

namespace {

ChannelOverlay differences(const cases::MeasuredChannel& channel, std::vector<double> computed) {
  ChannelOverlay out;
  out.computed = std::move(computed);
  double sum = 0;
  double squares = 0;
  for (std::size_t k = 0; k < channel.time.size(); ++k) {
    const double difference = channel.value[k] - out.computed[k];
    if (channel.used[k] == 0 || !std::isfinite(difference)) continue;
    ++out.used;
    sum += difference;
    squares += difference * difference;
    if (std::abs(difference) <= std::abs(out.largest)) continue;
    out.largest = difference;
    out.largest_at = channel.time[k];
  }
  if (out.used == 0) return out;
  const auto count = static_cast<double>(out.used);
  out.mean = sum / count;
  out.rms = std::sqrt(squares / count);
  return out;
}

RecordOverlay overlay_one(const cases::ReadTrial& read, const cases::BaseCase& base, std::size_t r,
                          const std::vector<cases::Setting>& settings, double late) {
  const auto& record = read.trial.records[r];
  const double until = record.surroundings ? record.surroundings->time.back() + late : 1e300;
  const cases::Case c = test_case(read, base, r, settings, late, until);
  Asked asked;
  for (const auto& channel : record.channels) {
    asked.probes.push_back({channel.probe, channel.time});
    for (double& t : asked.probes.back().time) t += late;
  }
  const Told told = run_asked(c, asked);
  if (!told.result.summary.completed) {
    throw std::runtime_error(
        fmt::format("record '{}': {}", record.name, told.result.summary.stop_reason));
  }
  RecordOverlay out;
  out.duration = c.run.duration;
  out.notices = c.notices;
  for (std::size_t k = 0; k < record.channels.size(); ++k) {
    out.channels.push_back(differences(record.channels[k], told.temperature[k]));
  }
  for (std::size_t k = 0; k < c.limits.size(); ++k) {
    out.holds.push_back({told.result.limits[k], measured_hold(record, c.limits[k])});
  }
  return out;
}

}  // namespace

std::vector<RecordOverlay> overlay(const cases::ReadTrial& read,
                                   const std::vector<std::vector<cases::Setting>>& settings,
                                   const std::vector<double>& late) {
  const cases::BaseCase base = cases::base_case(read.shared.plan);
  std::vector<RecordOverlay> out;
  for (std::size_t r = 0; r < read.trial.records.size(); ++r) {
    out.push_back(overlay_one(read, base, r,
                              settings.empty() ? std::vector<cases::Setting>() : settings[r],
                              late.empty() ? 0 : late[r]));
  }
  return out;
}

}  // namespace thawline::solver::trial
