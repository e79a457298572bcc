#include "cases/record/channel_character.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

namespace thawline::cases {

namespace {

/// Of a normal distribution: standard deviation over median absolute deviation.
constexpr double deviation_of_median = 1.4826022185056018;

double median_of(std::vector<double>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>((values.size() - 1) / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Median of distances that fall on few values, as those of rounded readings do: the middle one is
/// taken to be spread evenly over its share of the way to its neighbours.
double grouped_median(std::vector<double>& distances) {
  const double median = median_of(distances);
  const double slack = 1e-6 * (1 + median);
  double above = std::numeric_limits<double>::infinity();
  double under = 0;
  std::size_t less = 0;
  std::size_t ties = 0;
  for (const double distance : distances) {
    if (distance < median - slack) {
      ++less;
      under = std::max(under, distance);
    } else if (distance <= median + slack) {
      ++ties;
    } else {
      above = std::min(above, distance);
    }
  }
  const double from = (median + under) / 2;
  const double to = std::isfinite(above) ? (median + above) / 2 : median;
  const double wanted = static_cast<double>(distances.size()) / 2 - static_cast<double>(less);
  return from + (to - from) * std::clamp(wanted / static_cast<double>(ties), 0.0, 1.0);
}

void look_at_intervals(const Record& record, const Channel& channel, ChannelCharacter& out) {
  std::vector<double> steps;
  steps.reserve(channel.row.size());
  for (std::size_t k = 1; k < channel.row.size(); ++k) {
    steps.push_back(record.time[channel.row[k]] - record.time[channel.row[k - 1]]);
  }
  if (steps.empty()) return;
  out.interval = median_of(steps);
  const auto usual = std::count_if(steps.begin(), steps.end(), [&out](double step) {
    return std::abs(step - out.interval) <= 0.05 * out.interval;
  });
  out.regular = 10 * static_cast<std::size_t>(usual) >= 9 * steps.size();
  out.gap_beyond = (out.regular ? 1.5 : 5) * out.interval;
  for (std::size_t k = 1; k < channel.row.size(); ++k) {
    const double begin = record.time[channel.row[k - 1]];
    const double step = record.time[channel.row[k]] - begin;
    if (step <= out.gap_beyond) continue;
    ++out.gaps;
    if (step <= out.longest_gap) continue;
    out.longest_gap = step;
    out.longest_gap_at = begin;
  }
}

/// Readings in the last decimal place of the file, as whole numbers; empty when they are too fine.
std::vector<std::int64_t> whole_values(const Channel& channel, double place) {
  std::vector<std::int64_t> whole;
  whole.reserve(channel.value.size());
  for (const double value : channel.value) {
    const double scaled = channel.unit.as_written(value) / place;
    if (!(std::abs(scaled) < 1e15)) return {};
    whole.push_back(std::llround(scaled));
  }
  return whole;
}

void look_at_resolution(const Channel& channel, ChannelCharacter& out) {
  const double place = std::pow(10.0, -channel.decimals);
  auto whole = whole_values(channel, place);
  std::sort(whole.begin(), whole.end());
  whole.erase(std::unique(whole.begin(), whole.end()), whole.end());
  if (whole.size() < 3) return;
  std::vector<double> distances;
  for (std::size_t k = 1; k < whole.size(); ++k) {
    distances.push_back(static_cast<double>(whole[k] - whole[k - 1]));
  }
  // A step of 1/16 printed with two decimals gives distances of 6 and 7 by turns: their mean is the
  // step. Wide distances are where the curve was steep.
  const double smallest = *std::min_element(distances.begin(), distances.end());
  double sum = 0;
  std::size_t near = 0;
  for (const double distance : distances) {
    if (distance > 1.5 * smallest) continue;
    sum += distance;
    ++near;
  }
  // Where values hardly repeat the smallest distance is chance.
  const bool repeats = whole.size() * 2 <= channel.value.size() || 2 * near >= distances.size();
  if (!repeats) return;
  out.resolution = sum / static_cast<double>(near) * place;
}

void look_at_noise(const Record& record, const Channel& channel, ChannelCharacter& out) {
  if (channel.value.size() < least_for_noise) return;
  std::vector<double> distances;
  distances.reserve(channel.value.size());
  for (std::size_t k = 1; k + 1 < channel.value.size(); ++k) {
    const double before = record.time[channel.row[k]] - record.time[channel.row[k - 1]];
    const double after = record.time[channel.row[k + 1]] - record.time[channel.row[k]];
    if (before > out.gap_beyond || after > out.gap_beyond) continue;
    const double share = after / (before + after);
    const double line = share * channel.value[k - 1] + (1 - share) * channel.value[k + 1];
    const double spread = std::sqrt(1 + share * share + (1 - share) * (1 - share));
    distances.push_back(std::abs(channel.value[k] - line) / spread);
  }
  if (distances.size() + 2 < least_for_noise) return;
  const double in_unit = 1 / std::abs(channel.unit.one - channel.unit.zero);
  const double noise = deviation_of_median * grouped_median(distances) * in_unit;
  // In steps of the resolution the median falls on few values: below half a step it says nothing.
  const double shown_from = out.resolution.value_or(std::pow(10.0, -channel.decimals)) / 2;
  out.noise_hidden = noise < shown_from;
  if (!out.noise_hidden) out.noise = noise;
}

}  // namespace

ChannelCharacter character_of(const Record& record, const Channel& channel) {
  ChannelCharacter out;
  if (channel.value.empty()) return out;
  const auto [least, most] = std::minmax_element(channel.value.begin(), channel.value.end());
  out.least = *least;
  out.most = *most;
  out.first = record.time[channel.row.front()];
  out.last = record.time[channel.row.back()];
  look_at_intervals(record, channel, out);
  look_at_resolution(channel, out);
  look_at_noise(record, channel, out);
  return out;
}

}  // namespace thawline::cases
