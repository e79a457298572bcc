#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "cases/case.hpp"
#include "solver/results/probes.hpp"

namespace thawline::solver {

/// A time that never came.
inline constexpr double never = -1;

/// What became of one limit. Times in s from the start; `never` where it did not happen.
struct LimitResult {
  cases::Limit limit;
  double chill_time = never;  ///< first instant within the limit; 0 when it starts there
  double end_time = never;    ///< first crossing of the limit after that
  double time_past = 0;       ///< total time past the limit after the chill time
  int returns = 0;            ///< how often it came back within
  /// K, the warmest (of a lower limit the coldest) of its probes from the chill time on; empty when
  /// there was none.
  std::optional<double> worst;
  /// Last instant at which the limit could be judged: the end of the run, the end of a trace, or
  /// the instant the last of what it watches was taken out. What holds until then holds at least so
  /// long.
  double known_until = 0;

  /// From the chill time to the end; `never` when it did not end.
  [[nodiscard]] double hold_time() const;
  /// The same, cut at `known_until` and at the end of a run of `duration`; 0 when it was never met.
  [[nodiscard]] double held(double duration) const;
};

/// Follows one limit through the march: the warmest (or coldest) of its probes against its
/// temperature. Crossings are located inside the step by root finding.
class LimitWatch {
 public:
  /// Nothing after `last` (s) is looked at.
  LimitWatch(const cases::Limit& limit, const mesh::Network& network,
             double last = std::numeric_limits<double>::infinity());

  void at_instant(const StepView& view);
  void after_step(const StepView& view);
  [[nodiscard]] const LimitResult& result() const { return result_; }

 private:
  /// Kelvin past the limit; negative within it, and when no watched probe is in the box.
  [[nodiscard]] double past(const StepView& view, double time) const;
  void cross(double time, bool outward);
  /// Takes note of how far past the limit the probes are, once it was met.
  void note(double past);

  LimitResult result_;
  std::vector<mesh::Probe> probes_;
  double last_;
  bool outside_ = true;
  double outside_since_ = 0;
};

}  // namespace thawline::solver
