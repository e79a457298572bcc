#pragma once

#include <optional>

#include "cases/fit/read_trial.hpp"
#include "solver/trial/fit_trial.hpp"
#include "solver/trial/overlay.hpp"

namespace thawline::solver::trial {

/// A time with its 95 % half width, s.
struct Spread {
  double value = 0, half = 0;
};

/// Two records held against each other; differences are second less first, s.
struct Verdict {
  std::string reason;  ///< why there is none; empty when there is
  Spread measured;     ///< of the hold times in the records
  Spread explained;    ///< by the model with the first's coolant in both: box, start and amount
  Spread remaining;    ///< measured less explained
  double coolant_by_model = 0;  ///< what the model itself makes of the change of coolant
  [[nodiscard]] bool distinguishable() const { return std::abs(remaining.value) > remaining.half; }
};

/// The verdict a trial asks for. With a fit, what it left unknown is carried into what the model
/// explains by draws from its joint spread. Throws cases::InputError.
[[nodiscard]] Verdict verdict_of(const cases::ReadTrial& read,
                                 const std::vector<RecordOverlay>& overlays, const Fitted* fitted);

}  // namespace thawline::solver::trial
