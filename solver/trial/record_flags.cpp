#include "solver/trial/record_flags.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/fit/jumps.hpp"

namespace thawline::solver::trial {

namespace {

constexpr double settling = 3600;  // s after packing: a warm box and its doors are no leap

/// Differences of one channel that count.
struct Differences {
  std::vector<double> time, value, measured, computed;
};

Differences differences_of(const cases::MeasuredChannel& channel, const ChannelOverlay& over) {
  Differences out;
  for (std::size_t k = 0; k < channel.time.size(); ++k) {
    if (channel.used[k] == 0 || channel.time[k] < settling || !std::isfinite(over.computed[k])) {
      continue;
    }
    out.time.push_back(channel.time[k]);
    out.value.push_back(channel.value[k] - over.computed[k]);
    out.measured.push_back(channel.value[k]);
    out.computed.push_back(over.computed[k]);
  }
  return out;
}

void add_jumps(const cases::MeasuredChannel& channel, const Differences& d, Flag flag,
               std::vector<Flag>& flags) {
  const double least_step = std::max({channel.noise, channel.resolution / 2.449, 0.02});
  for (const auto& jump : fit::jumps_in(d.time, d.value, least_step)) {
    flag.at = d.time[jump.at];
    flag.what = fmt::format("leaps by {:+.1f} K ({:.0f} robust deviations) {}", jump.by, jump.sizes,
                            jump.stays ? "and stays there, as a probe does that fell or was moved"
                                       : "and comes back, as with a lid opened");
    flags.push_back(flag);
  }
}

void add_standstill(const cases::MeasuredChannel& channel, const Differences& d, Flag flag,
                    std::vector<Flag>& flags) {
  constexpr double least_hours = 4;
  const double moved_enough = std::max(1.5, 5 * channel.resolution);
  for (std::size_t i = 0; i < d.time.size();) {
    std::size_t end = i;
    double low = d.computed[i];
    double high = d.computed[i];
    while (end + 1 < d.time.size() && d.measured[end + 1] == d.measured[i]) {
      ++end;
      low = std::min(low, d.computed[end]);
      high = std::max(high, d.computed[end]);
    }
    const double hours = (d.time[end] - d.time[i]) / 3600;
    if (hours >= least_hours && high - low > moved_enough) {
      flag.at = d.time[i];
      flag.what = fmt::format(
          "stands still for {:.1f} h while the model moves by {:.1f} K, as a dead channel does",
          hours, high - low);
      flags.push_back(flag);
    }
    i = end + 1;
  }
}

/// How late one record's clock seems to be: the shift that the whitened residuals of its channels
/// ask for, with all that is fitted already taken out (a score test).
void add_lateness(const cases::ReadTrial& read, const FitProblem& problem,
                  const fit::Estimated& estimated, std::size_t record, std::vector<Flag>& flags) {
  if (read.trial.records[record].packed_within > 0) return;
  fit::Residuals shift = estimated.residuals;
  double interval = 0;
  for (std::size_t s = 0; s < problem.places.size(); ++s) {
    const auto& series = problem.problem.series[s];
    auto& slope = shift.series[s];
    slope.setZero();
    if (problem.places[s].record != record) continue;
    interval = std::max(interval, fit::spacing_of(series));
    const auto& residual = estimated.residuals.series[s];
    const auto predicted = [&](Eigen::Index i) {
      return series.measured[static_cast<std::size_t>(i)] - residual[i];
    };
    for (Eigen::Index i = 1; i + 1 < slope.size(); ++i) {
      const auto k = static_cast<std::size_t>(i);
      if (series.time[k] < settling) continue;
      slope[i] = (predicted(i + 1) - predicted(i - 1)) / (series.time[k + 1] - series.time[k - 1]);
    }
  }
  shift.data.setZero();
  Eigen::VectorXd column =
      fit::whiten(problem.problem, estimated.x, shift, estimated.errors).residual;
  column.tail(column.size() - estimated.whitened.begin[problem.places.size()]).setZero();
  Eigen::VectorXd residual = estimated.whitened.residual;
  for (double& r : residual) r = std::clamp(r, -3.0, 3.0);
  const auto& slope = estimated.whitened.slope;
  const Eigen::VectorXd beside =
      column - slope * (estimated.covariance * (slope.transpose() * column));
  const double information = beside.squaredNorm();
  if (information <= 0) return;
  const double late = beside.dot(residual) / information;
  const double deviations = std::abs(late) * std::sqrt(information);
  constexpr double least_deviations = 5;
  if (deviations < least_deviations || std::abs(late) < std::max(600.0, 0.75 * interval)) return;
  Flag flag;
  flag.record = record;
  flag.at = -1;
  flag.what = fmt::format(
      "its clock seems to be {:.0f} min {} ('packed_at', or 'packed_within' to let the fit move "
      "it)",
      std::abs(late) / 60, late > 0 ? "late" : "ahead");
  flags.push_back(flag);
}

}  // namespace

std::vector<Flag> record_flags(const cases::ReadTrial& read,
                               const std::vector<RecordOverlay>& overlays,
                               const FitProblem& problem, const fit::Estimated& estimated) {
  std::vector<Flag> flags;
  for (std::size_t r = 0; r < overlays.size(); ++r) {
    for (std::size_t c = 0; c < read.trial.records[r].channels.size(); ++c) {
      const auto& channel = read.trial.records[r].channels[c];
      if (channel.probe.empty()) continue;
      const Differences d = differences_of(channel, overlays[r].channels[c]);
      const Flag flag{r, channel.channel, 0, ""};
      add_jumps(channel, d, flag, flags);
      add_standstill(channel, d, flag, flags);
    }
    add_lateness(read, problem, estimated, r, flags);
  }
  return flags;
}

}  // namespace thawline::solver::trial
