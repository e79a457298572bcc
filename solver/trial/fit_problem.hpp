#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cases/fit/read_trial.hpp"
#include "solver/fit/problem.hpp"

namespace thawline::solver::trial {

/// What an unknown of the estimation stands for.
struct Meaning {
  enum class Kind { value, offset, late };
  Kind kind = Kind::value;
  int free = -1;     ///< index into the free values of the trial
  int record = -1;   ///< whose own; −1: of all
  int channel = -1;  ///< of an offset, index into the record's channels
  bool logarithmic = false;
};

/// Where a measured series comes from.
struct SeriesPlace {
  std::size_t record = 0, channel = 0;
};

/// Averaged readings of a record's channels, K.
using ChannelMeans = std::vector<std::vector<double>>;

/// A trial as a problem of estimation. Readings are averaged over some minutes; the model runs
/// every record's case, remembering runs whose unknowns did not change.
struct FitProblem {
  fit::Problem problem;
  std::vector<Meaning> meanings;    ///< of the unknowns
  std::vector<SeriesPlace> places;  ///< of the series
  /// The averaged channels of one record with its clock that many seconds later still; empty when
  /// there is no answer.
  std::function<std::optional<ChannelMeans>(std::size_t record, const Eigen::VectorXd& x,
                                            double later)>
      moved_clock;
  std::shared_ptr<int> runs;  ///< cases computed so far
  std::shared_ptr<std::string> last_failure;
  /// By record and unknown: false where a change of the unknown was seen to move nothing.
  std::shared_ptr<std::vector<std::vector<bool>>> matters;
};

/// Takes note of the records that an unknown does not touch, so that they are not run again for it.
void note_what_matters(const FitProblem& problem, const fit::Residuals& residuals);

/// `read` must outlive what is returned. Throws cases::InputError.
[[nodiscard]] FitProblem fit_problem(const cases::ReadTrial& read);

/// The number in the unit of its free value, from the natural scale.
[[nodiscard]] double number_of(const Meaning& meaning, double natural);

/// Settings of one record at given unknowns, and of all records alike when `record` is negative.
[[nodiscard]] std::vector<cases::Setting> settings_at(const cases::ReadTrial& read,
                                                      const std::vector<Meaning>& meanings,
                                                      const Eigen::VectorXd& x, int record);

/// How much later a record's clock was set than it says, s.
[[nodiscard]] double late_at(const std::vector<Meaning>& meanings, const Eigen::VectorXd& x,
                             int record);

}  // namespace thawline::solver::trial
