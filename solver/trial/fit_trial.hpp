#pragma once

#include <Eigen/Dense>
#include <optional>
#include <string>
#include <vector>

#include "cases/fit/read_trial.hpp"
#include "solver/trial/overlay.hpp"

namespace thawline::solver::trial {

/// A value that was fitted, with what the records tell of it, in its unit.
struct Learnt {
  std::string name, path, unit;
  int free = -1;       ///< index into the free values; −1: an offset or a clock
  int record = -1;     ///< whose own it is; −1: shared by all
  bool shared = true;  ///< a value of the case, the same for all records
  bool logarithmic = false;
  double from = 0, to = 0;  ///< bounds
  double value = 0;
  double low = 0, high = 0;              ///< 95 % interval, errors correlated
  double naive_low = 0, naive_high = 0;  ///< the same taking every reading for independent
  double natural = 0;                    ///< on the natural scale
  bool told = true;  ///< false where the interval fills most of what the bounds leave
  bool at_bound = false;
  std::optional<cases::KnownValue> known;
  double pull = 0;  ///< of what was known: (value − mean)/spread
};

/// A quantity that follows from the fitted values, with its 95 % interval.
struct Derived {
  std::string name, unit;
  double value = 0, low = 0, high = 0;
};

/// How one channel was followed.
struct ChannelFit {
  double rms = 0;          ///< K, of averaged readings
  double scatter = 0;      ///< K, noise and rounding of one reading
  double correlation = 0;  ///< of neighbouring averaged readings
  double deviation = 0;    ///< K, of the errors as estimated
  double spacing = 0;      ///< s, of them
  double memory = 0;       ///< s, over which the correlation falls to 1/e
};

/// Something in a record that no fit mends.
struct Flag {
  std::size_t record = 0;
  std::string channel;  ///< empty for the whole record
  double at = 0;        ///< s since packing; < 0 where there is no instant
  std::string what;     ///< a clause
};

struct Fitted {
  std::vector<Learnt> values;
  Eigen::MatrixXd root;  ///< lower triangle, natural scale, order of `values`
  Eigen::MatrixXd correlation;
  std::vector<Derived> derived;                   ///< UA first
  std::vector<std::vector<ChannelFit>> followed;  ///< by record and channel
  std::vector<Flag> flags;
  std::vector<std::string> not_separated;  ///< sentences
  bool follows = true;                     ///< false where rms is far above what loggers scatter
  double misfit = 0;                       ///< largest rms over scatter
  int starts = 0, agreeing = 0;  ///< starting points that were tried, that came to the same end
  int runs = 0;                  ///< of cases
  std::vector<std::vector<cases::Setting>> settings;  ///< by record, at the fitted values
  std::vector<cases::Setting> shared_settings;
  std::vector<double> late;  ///< s by record
};

/// Learns the free values of a trial from its records. Throws cases::InputError for a value that
/// changes nothing and for more values than the records can carry, and std::runtime_error where no
/// start within the bounds can be computed.
[[nodiscard]] Fitted fit_trial(const cases::ReadTrial& read);

}  // namespace thawline::solver::trial
