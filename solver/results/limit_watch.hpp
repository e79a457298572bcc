#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "cases/case.hpp"
#include "solver/results/probes.hpp"

namespace thawline::solver {

/// A time that never came.
inline constexpr double never = -1;

/// When a temperature was met and how long it held from there. Times in s from the start; `never`
/// where it did not happen.
struct Hold {
  double chill_time = never;  ///< first instant within; 0 when it starts there
  double end_time = never;    ///< first crossing after that

  /// From the chill time to the end; `never` when it did not end.
  [[nodiscard]] double hold_time() const;
  /// The same, cut at `until` (s); 0 when it was never met.
  [[nodiscard]] double held(double until) const;
};

/// What became of one limit. Times in s from the start; `never` where it did not happen.
struct LimitResult {
  cases::Limit limit;
  double chill_time = never;    ///< first instant within the limit; 0 when it starts there
  double end_time = never;      ///< first crossing of the limit after that
  double time_past = 0;         ///< total time past the limit after the chill time
  int returns = 0;              ///< how often it came back within
  double came_back_at = never;  ///< the first of these
  /// The same curve against the limit moved by `cases::Limit::logger_error`: inward, and outward.
  Hold tighter, looser;
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
  /// Shortest and longest time held, in s, by the limit and by both that lie a logger's error
  /// beside it, cut like `held`.
  [[nodiscard]] double held_least(double duration) const;
  [[nodiscard]] double held_most(double duration) const;
  /// True where a logger's error is worth more than a tenth of the time held: the curve runs along
  /// its limit, so that the hold time is worth less than its digits.
  [[nodiscard]] bool is_flat(double duration) const;
};

/// Share of a hold time beyond which what a logger's error makes of it is told: a choice of ours.
inline constexpr double flat_share = 0.1;

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
  /// Kelvin past the limit of the worst probe at `time` within a step; negative within it, and
  /// below −1e8 when no watched probe is in the box.
  [[nodiscard]] double past(const StepView& view, double time) const;

 private:
  /// Where a temperature beside the limit stands.
  struct Track {
    double outward = 0;  ///< K by which it lies beyond the limit
    Hold hold;
    bool outside = true;
    double outside_since = 0;
    double time_past = 0;
    int returns = 0;
    double came_back_at = never;

    void cross(double time, bool goes_out);
    /// Takes over `past` (K past the limit itself) at an instant.
    void look(double time, double past);
  };

  /// Follows a track from one look to the next within a step.
  void follow(const StepView& view, Track& track, double from, double past_from, double to,
              double past_to);
  void take_over();
  /// Takes note of how far past the limit the probes are, once it was met.
  void note(double past);

  LimitResult result_;
  std::vector<mesh::Probe> probes_;
  double last_;
  Track track_, tighter_, looser_;
};

}  // namespace thawline::solver
