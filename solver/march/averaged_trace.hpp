#pragma once

#include <vector>

#include "cases/case.hpp"

namespace thawline::solver {

/// A logged temperature as the march sees it: a smooth curve that has the record's mean over each
/// of a series of stretches. Rows a minute apart say more of the logger than of the weather;
/// followed one by one they would hold the march to steps of a minute.
///
/// Stretches are at most an hour long. One is cut in half as long as the record in it departs from
/// a straight line so far that the time integral of what is left out, ∫|T − line| from its start to
/// any instant in it, passes `exposure` (K s); so a jump is followed row by row, and noise is
/// averaged. Within a stretch the curve is the parabola with the stretch's mean and, at its ends,
/// the slope of the polynomial through ∫T dt at the ends of the stretches around (P. Colella, P. R.
/// Woodward, J. Comput. Phys. 54 (1984) 174, eq. 1.6). Where it
/// would leave the range of the record in the stretch and its neighbours by more than 0.05 K, it is
/// drawn in towards the mean.
class AveragedTrace {
 public:
  /// Of the record from the start of the march to its end after `duration` (s); the rest is not
  /// seen.
  AveragedTrace(const cases::Trace& trace, double duration, double exposure);

  /// K at `time` (s): constant before the first and after the last row, the start and the end.
  [[nodiscard]] double at(double time) const;

  /// The longest step (s) from `time` that passes over no stretch unseen: to the end of the next
  /// one. Without bound after the last.
  [[nodiscard]] double longest_step(double time) const;

 private:
  struct Stretch {
    double begin = 0, end = 0;   ///< s
    double mean = 0;             ///< K
    double least = 0, most = 0;  ///< K, of the rows in it and of the record at its ends
    double at_begin = 0, at_end = 0;
  };
  void cut(const cases::Trace& trace, const std::vector<double>& integral, double begin, double end,
           double exposure);
  /// The temperature (K) at the end of stretch `i`, which is not the last.
  [[nodiscard]] double between(std::size_t i) const;
  /// K from the mean, at a share (0…1) of the stretch.
  [[nodiscard]] static double departure(const Stretch& stretch, double share);
  /// Draws the parabola in towards its mean until it stays between two temperatures (K) that hold
  /// the mean between them.
  static void keep_between(Stretch& stretch, double least, double most);
  [[nodiscard]] std::size_t stretch_at(double time) const;

  std::vector<Stretch> stretches_;
  double first_ = 0, last_ = 0;  ///< K, of the first and the last row
};

}  // namespace thawline::solver
