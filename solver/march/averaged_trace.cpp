#include "solver/march/averaged_trace.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace thawline::solver {

namespace {

constexpr double longest_stretch = 3600;  // s
/// How far the curve may leave the range of the rows around it: an end of a record at its highest
/// is as smooth as the rest.
constexpr double most_beyond = 0.05;  // K

std::size_t row_after(const cases::Trace& trace, double time) {
  const auto found = std::upper_bound(trace.time.begin(), trace.time.end(), time);
  return static_cast<std::size_t>(found - trace.time.begin());
}

/// The rows between the start and `duration` (s), with a row at either where the record goes
/// beyond.
cases::Trace part_of(const cases::Trace& record, double duration) {
  cases::Trace part;
  const auto add = [&](double time, double temperature) {
    part.time.push_back(time);
    part.temperature.push_back(temperature);
  };
  const double begin = std::clamp(record.time.front(), 0.0, duration);
  const double end = std::clamp(record.time.back(), begin, duration);
  add(begin, temperature_at(record, begin));
  for (std::size_t i = row_after(record, begin); i < record.time.size() && record.time[i] < end;
       ++i) {
    add(record.time[i], record.temperature[i]);
  }
  if (end > begin) add(end, temperature_at(record, end));
  return part;
}

/// ∫T dt from the first row to each row, K s.
std::vector<double> integral_of(const cases::Trace& trace) {
  std::vector<double> integral(trace.time.size(), 0);
  for (std::size_t i = 1; i < trace.time.size(); ++i) {
    integral[i] = integral[i - 1] + (trace.time[i] - trace.time[i - 1]) *
                                        (trace.temperature[i] + trace.temperature[i - 1]) / 2;
  }
  return integral;
}

/// ∫T dt from the first row to `time`, K s.
double integral_to(const cases::Trace& trace, const std::vector<double>& integral, double time) {
  const std::size_t next = row_after(trace, time);
  if (next == 0) return 0;
  if (next == trace.time.size()) return integral.back();
  const double beyond = time - trace.time[next - 1];
  const double here = temperature_at(trace, time);
  return integral[next - 1] + beyond * (trace.temperature[next - 1] + here) / 2;
}

}  // namespace

AveragedTrace::AveragedTrace(const cases::Trace& record, double duration, double exposure) {
  const cases::Trace trace = part_of(record, duration);
  first_ = trace.temperature.front();
  last_ = trace.temperature.back();
  const std::vector<double> integral = integral_of(trace);
  const double begin = trace.time.front();
  const double span = trace.time.back() - begin;
  const int pieces = static_cast<int>(std::ceil(span / longest_stretch));
  for (int i = 0; i < pieces; ++i) {
    cut(trace, integral, begin + span * i / pieces, begin + span * (i + 1) / pieces, exposure);
  }
  for (std::size_t i = 0; i < stretches_.size(); ++i) {
    stretches_[i].at_begin = i == 0 ? first_ : stretches_[i - 1].at_end;
    stretches_[i].at_end = i + 1 == stretches_.size() ? last_ : between(i);
  }
  for (std::size_t i = 0; i < stretches_.size(); ++i) {
    double least = stretches_[i].least;
    double most = stretches_[i].most;
    for (const std::size_t k : {i - 1, i + 1}) {
      if (k >= stretches_.size()) continue;
      least = std::min(least, stretches_[k].least);
      most = std::max(most, stretches_[k].most);
    }
    keep_between(stretches_[i], least - most_beyond, most + most_beyond);
  }
}

double AveragedTrace::departure(const Stretch& stretch, double share) {
  const double begin = stretch.at_begin - stretch.mean;
  const double end = stretch.at_end - stretch.mean;
  return begin + share * (end - begin - (1 - share) * 3 * (begin + end));
}

void AveragedTrace::keep_between(Stretch& stretch, double least, double most) {
  const double begin = stretch.at_begin - stretch.mean;
  const double end = stretch.at_end - stretch.mean;
  double lowest = std::min(begin, end);
  double highest = std::max(begin, end);
  // The parabola turns where its slope, end − begin − 3 (begin + end)(1 − 2 s), is zero.
  const double sum = 3 * (begin + end);
  const double turn = sum == 0 ? -1 : (1 - (end - begin) / sum) / 2;
  if (turn > 0 && turn < 1) {
    lowest = std::min(lowest, departure(stretch, turn));
    highest = std::max(highest, departure(stretch, turn));
  }
  double kept = 1;
  if (highest > 0) kept = std::min(kept, (most - stretch.mean) / highest);
  if (lowest < 0) kept = std::min(kept, (stretch.mean - least) / -lowest);
  stretch.at_begin = stretch.mean + kept * begin;
  stretch.at_end = stretch.mean + kept * end;
}

double AveragedTrace::between(std::size_t i) const {
  // Ends of the (at most four) stretches around, counted from the place itself, and ∫T dt to them.
  const std::size_t first = i > 0 ? i - 1 : i;
  const std::size_t last = std::min(i + 2, stretches_.size() - 1);
  const double here = stretches_[i].end;
  std::vector<double> place{stretches_[first].begin - here};
  std::vector<double> sum{0};
  double at_here = 0;
  for (std::size_t k = first; k <= last; ++k) {
    const Stretch& s = stretches_[k];
    place.push_back(s.end - here);
    sum.push_back(sum.back() + s.mean * (s.end - s.begin));
    if (k == i) at_here = sum.back();
  }
  // The slope at 0 of the polynomial through these points, by Lagrange's formula; the term of the
  // point at 0 itself vanishes as its value does.
  double slope = 0;
  for (std::size_t j = 0; j < place.size(); ++j) {
    if (place[j] == 0) continue;
    double weight = 1 / place[j];
    for (std::size_t k = 0; k < place.size(); ++k) {
      if (k == j || place[k] == 0) continue;
      weight *= place[k] / (place[k] - place[j]);
    }
    slope += weight * (sum[j] - at_here);
  }
  return slope;
}

void AveragedTrace::cut(const cases::Trace& trace, const std::vector<double>& integral,
                        double begin, double end, double exposure) {
  const double length = end - begin;
  const double middle = begin + length / 2;
  const double from = integral_to(trace, integral, begin);
  const double half = integral_to(trace, integral, middle) - from;
  const double all = integral_to(trace, integral, end) - from;
  const double mean = all / length;
  const double slope = (all - 2 * half) / (length * length / 4);
  const std::size_t first = row_after(trace, begin);
  Stretch made{begin, end, mean, temperature_at(trace, begin), temperature_at(trace, begin), 0, 0};
  const auto widen = [&](double temperature) {
    made.least = std::min(made.least, temperature);
    made.most = std::max(made.most, temperature);
  };
  widen(temperature_at(trace, end));
  double largest = 0;
  std::size_t rows = 0;
  for (std::size_t i = first; i < trace.time.size() && trace.time[i] < end; ++i, ++rows) {
    widen(trace.temperature[i]);
    const double beyond = trace.time[i] - begin;
    const double line = beyond * (mean + slope * (beyond - length) / 2);
    largest = std::max(largest, std::abs(integral[i] - from - line));
  }
  if (rows > 0 && largest > exposure) {
    cut(trace, integral, begin, middle, exposure);
    cut(trace, integral, middle, end, exposure);
    return;
  }
  stretches_.push_back(made);
}

std::size_t AveragedTrace::stretch_at(double time) const {
  const auto after =
      std::upper_bound(stretches_.begin(), stretches_.end(), time,
                       [](double t, const Stretch& stretch) { return t < stretch.end; });
  return static_cast<std::size_t>(after - stretches_.begin());
}

double AveragedTrace::at(double time) const {
  if (stretches_.empty() || time <= stretches_.front().begin) return first_;
  const std::size_t i = stretch_at(time);
  if (i == stretches_.size()) return last_;
  const Stretch& here = stretches_[i];
  return here.mean + departure(here, (time - here.begin) / (here.end - here.begin));
}

double AveragedTrace::longest_step(double time) const {
  const std::size_t i = stretch_at(time);
  if (i + 1 >= stretches_.size()) return std::numeric_limits<double>::infinity();
  return stretches_[i + 1].end - time;
}

}  // namespace thawline::solver
