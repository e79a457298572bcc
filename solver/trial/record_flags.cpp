#include "solver/trial/record_flags.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

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

/// Misfit of one record's channels with its clock `later` s later: squares over each channel's own,
/// once all fitted values were moved to the best by the slopes of the fit. Empty without an answer.
std::optional<double> misfit_with_clock(const FitProblem& problem, const fit::Estimated& estimated,
                                        std::size_t record, double later) {
  const auto moved = problem.moved_clock(record, estimated.x, later);
  if (!moved) return std::nullopt;
  const Eigen::Index n = estimated.x.size();
  Eigen::MatrixXd information = 1e-9 * Eigen::MatrixXd::Identity(n, n);
  Eigen::VectorXd pull = Eigen::VectorXd::Zero(n);
  for (Eigen::Index k = 0; k < n; ++k) {
    const auto& prior = problem.problem.unknowns[static_cast<std::size_t>(k)].prior;
    if (!prior) continue;
    information(k, k) += 1 / (prior->spread * prior->spread);
    pull[k] += (prior->mean - estimated.x[k]) / (prior->spread * prior->spread);
  }
  std::vector<std::pair<Eigen::VectorXd, Eigen::MatrixXd>> mine;
  std::size_t channel = 0;
  for (std::size_t s = 0; s < problem.places.size(); ++s) {
    Eigen::VectorXd residual = estimated.residuals.series[s];
    const double size =
        std::max(std::sqrt(residual.squaredNorm() / static_cast<double>(residual.size())), 1e-3);
    if (problem.places[s].record == record) {
      for (Eigen::Index i = 0; i < residual.size(); ++i) {
        const auto k = static_cast<std::size_t>(i);
        // What was computed before, from the residual, gives way to what is computed now.
        residual[i] = problem.problem.series[s].measured[k] - (*moved)[channel][k];
        if (!std::isfinite(residual[i])) return std::nullopt;
      }
      for (Eigen::Index k = 0; k < n; ++k) {
        const int of = problem.problem.unknowns[static_cast<std::size_t>(k)].offset_of;
        if (of == static_cast<int>(s)) residual.array() -= estimated.x[k];
      }
      ++channel;
    }
    const Eigen::MatrixXd slope = estimated.residuals.series_slope[s] / size;
    residual /= size;
    information += slope.transpose() * slope;
    pull -= slope.transpose() * residual;
    if (problem.places[s].record == record) mine.emplace_back(residual, slope);
  }
  const Eigen::VectorXd change = information.ldlt().solve(pull);
  double sum = 0;
  for (const auto& [residual, slope] : mine) sum += (residual + slope * change).squaredNorm();
  return sum;
}

/// Tries other settings of one record's clock. One that halves the misfit is a clock that is late
/// or ahead.
void add_lateness(const cases::ReadTrial& read, const FitProblem& problem,
                  const fit::Estimated& estimated, std::size_t record, std::vector<Flag>& flags) {
  if (read.trial.records[record].packed_within > 0) return;
  const auto as_said = misfit_with_clock(problem, estimated, record, 0);
  if (!as_said) return;
  constexpr double far_better = 0.5;
  double best = far_better * *as_said;
  double late = 0;
  for (const double minutes : {-60.0, -40.0, -25.0, -15.0, 15.0, 25.0, 40.0, 60.0}) {
    const auto misfit = misfit_with_clock(problem, estimated, record, 60 * minutes);
    if (!misfit || *misfit >= best) continue;
    best = *misfit;
    late = minutes;
  }
  if (late == 0) return;
  Flag flag;
  flag.record = record;
  flag.at = -1;
  flag.what = fmt::format(
      "its clock seems to be some {:.0f} min {} ('packed_at', or 'packed_within' to let the fit "
      "move "
      "it)",
      std::abs(late), late > 0 ? "late" : "ahead");
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
