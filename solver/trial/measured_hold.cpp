#include "solver/trial/measured_hold.hpp"

#include <algorithm>
#include <cmath>

namespace thawline::solver::trial {

namespace {

/// A channel averaged by running straight lines: values and slopes at its readings.
struct Smoothed {
  std::vector<double> time, value, slope;
  double deviation = 0;  ///< K, of an error shared by all readings and of one averaged reading
  double interval = 0;   ///< s

  [[nodiscard]] double at(double t) const {
    const auto next = std::upper_bound(time.begin(), time.end(), t) - time.begin();
    if (next == 0) return value.front();
    if (next == static_cast<std::ptrdiff_t>(time.size())) return value.back();
    const auto i = static_cast<std::size_t>(next);
    const double share = (t - time[i - 1]) / (time[i] - time[i - 1]);
    return value[i - 1] + share * (value[i] - value[i - 1]);
  }
};

Smoothed smoothed(const cases::MeasuredChannel& channel) {
  Smoothed out;
  std::vector<double> time;
  std::vector<double> value;
  for (std::size_t k = 0; k < channel.time.size(); ++k) {
    if (channel.used[k] == 0) continue;
    time.push_back(channel.time[k]);
    value.push_back(channel.value[k]);
  }
  constexpr double shortest = 900;  // s to either side
  const double reach = std::max(shortest, 2 * channel.interval);
  std::size_t first = 0;
  std::size_t past = 0;
  double fewest = 1e300;
  for (const double t : time) {
    while (time[first] < t - reach) ++first;
    while (past < time.size() && time[past] <= t + reach) ++past;
    const auto count = static_cast<double>(past - first);
    double mt = 0;
    double mv = 0;
    for (std::size_t k = first; k < past; ++k) {
      mt += time[k] / count;
      mv += value[k] / count;
    }
    double stt = 0;
    double stv = 0;
    for (std::size_t k = first; k < past; ++k) {
      stt += (time[k] - mt) * (time[k] - mt);
      stv += (time[k] - mt) * (value[k] - mv);
    }
    const double slope = stt > 0 ? stv / stt : 0;
    out.time.push_back(t);
    out.value.push_back(mv + slope * (t - mt));
    out.slope.push_back(slope);
    fewest = std::min(fewest, count);
  }
  // Noise of loggers is correlated over minutes: averaging is not counted on.
  out.deviation =
      std::sqrt(channel.offset_spread * channel.offset_spread + channel.noise * channel.noise +
                channel.resolution * channel.resolution / 12);
  out.interval = channel.interval;
  return out;
}

/// The probe that is farthest past the limit at a time.
struct Extreme {
  double past = 0;
  std::size_t which = 0;
};

Extreme extreme_at(const std::vector<Smoothed>& channels, const cases::Limit& limit, double t) {
  Extreme out{-1e300, 0};
  const double sign = limit.side == cases::Side::not_above ? 1 : -1;
  for (std::size_t i = 0; i < channels.size(); ++i) {
    const double past = sign * (channels[i].at(t) - limit.temperature);
    if (past > out.past) out = {past, i};
  }
  return out;
}

double slope_at(const Smoothed& channel, double t) {
  const auto next = std::lower_bound(channel.time.begin(), channel.time.end(), t);
  const auto i = std::min<std::size_t>(static_cast<std::size_t>(next - channel.time.begin()),
                                       channel.time.size() - 1);
  return channel.slope[i];
}

double crossing_deviation(const Smoothed& channel, double t) {
  constexpr double flattest = 1e-6;  // K/s: a curve that lies along the limit tells no instant
  const double by_level = channel.deviation / std::max(std::abs(slope_at(channel, t)), flattest);
  return std::sqrt(by_level * by_level + channel.interval * channel.interval / 12);
}

}  // namespace

double MeasuredHold::deviation() const { return std::hypot(chill_deviation, end_deviation); }

std::optional<MeasuredHold> measured_hold(const cases::TestRecord& record,
                                          const cases::Limit& limit) {
  MeasuredHold out;
  out.limit = limit.name;
  std::vector<Smoothed> channels;
  for (const auto& probe : limit.probes) {
    const std::size_t before = channels.size();
    for (const auto& channel : record.channels) {
      if (channel.probe == probe && std::count(channel.used.begin(), channel.used.end(), 1) > 2) {
        channels.push_back(smoothed(channel));
      }
    }
    if (channels.size() == before) out.not_measured.push_back(probe);
  }
  if (channels.empty()) return std::nullopt;
  std::vector<double> instants;
  for (const auto& channel : channels) {
    instants.insert(instants.end(), channel.time.begin(), channel.time.end());
    out.known_until = std::max(out.known_until, channel.time.back());
  }
  std::sort(instants.begin(), instants.end());
  instants.erase(std::unique(instants.begin(), instants.end()), instants.end());

  Extreme before = extreme_at(channels, limit, instants.front());
  if (before.past <= 0) out.chill_time = 0;
  for (std::size_t k = 1; k < instants.size() && !out.end_time; ++k) {
    const Extreme now = extreme_at(channels, limit, instants[k]);
    const bool inward = before.past > 0 && now.past <= 0;
    const bool outward = before.past <= 0 && now.past > 0;
    const double share = before.past / (before.past - now.past);
    const double t = instants[k - 1] + share * (instants[k] - instants[k - 1]);
    if (inward && !out.chill_time) {
      out.chill_time = t;
      out.chill_deviation = crossing_deviation(channels[now.which], t);
    } else if (outward) {
      out.end_time = t;
      out.end_deviation = crossing_deviation(channels[now.which], t);
    }
    before = now;
  }
  if (out.chill_time && out.end_time) out.hold_time = *out.end_time - *out.chill_time;
  return out;
}

}  // namespace thawline::solver::trial
