#include "solver/trial/verdict.hpp"

#include <fmt/format.h>

#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "cases/latin_hypercube.hpp"
#include "solver/trial/test_case.hpp"

namespace thawline::solver::trial {

namespace {

constexpr double sigmas = 1.96;

/// Hold time of a record's case; empty when it does not end within a run made longer.
std::optional<double> hold_of(const cases::ReadTrial& read, const cases::BaseCase& base,
                              std::size_t record, const std::vector<cases::Setting>& settings) {
  cases::Case c = test_case(read, base, record, settings, 0, 1e300);
  cases::keep_last_reading(c);
  const auto result = run_case(c);
  const std::size_t limit = read.trial.verdict->limit;
  if (!result.summary.completed || limit >= result.limits.size()) return std::nullopt;
  const double hold = result.limits[limit].hold_time();
  return hold < 0 ? std::nullopt : std::optional(hold);
}

/// Settings of both records at one draw of what was fitted; the values as they are for draw 0.
std::vector<cases::Setting> drawn(const cases::ReadTrial& read, const Fitted& fitted, int record,
                                  std::uint64_t draw, std::uint64_t draws) {
  const auto n = static_cast<Eigen::Index>(fitted.values.size());
  Eigen::VectorXd z = Eigen::VectorXd::Zero(n);
  for (Eigen::Index k = 0; k < n && draw > 0; ++k) {
    z[k] = quantile(boost::math::normal(),
                    cases::latin_hypercube(3, static_cast<std::size_t>(k), draws, draw - 1));
  }
  const Eigen::VectorXd moved = fitted.root * z;
  std::vector<cases::Setting> settings;
  for (Eigen::Index k = 0; k < n; ++k) {
    const auto& value = fitted.values[static_cast<std::size_t>(k)];
    if (value.free < 0 || (value.record >= 0 && value.record != record)) continue;
    const double low = value.logarithmic ? std::log(value.from) : value.from;
    const double high = value.logarithmic ? std::log(value.to) : value.to;
    const double at = std::clamp(value.natural + moved[k], low, high);
    settings.push_back(setting_of(read.trial.fit->free[static_cast<std::size_t>(value.free)],
                                  value.logarithmic ? std::exp(at) : at));
  }
  return settings;
}

/// What the model explains with one coolant in both, and what it makes of the change of coolant.
struct Explained {
  double conditions = 0, coolant = 0;
};

std::optional<Explained> explained(const cases::ReadTrial& read, const cases::BaseCase& base,
                                   const Fitted* fitted, std::uint64_t draw, std::uint64_t draws) {
  const auto& wish = *read.trial.verdict;
  const auto settings = [&](std::size_t record) {
    return fitted == nullptr ? std::vector<cases::Setting>()
                             : drawn(read, *fitted, static_cast<int>(record), draw, draws);
  };
  const auto first = hold_of(read, base, wish.first, settings(wish.first));
  auto swapped = settings(wish.second);
  for (std::size_t i = 0; i < wish.coolant.size(); ++i) {
    swapped.push_back({wish.coolant[i], wish.of_first[i]});
  }
  const auto same_coolant = hold_of(read, base, wish.second, swapped);
  const auto second = hold_of(read, base, wish.second, settings(wish.second));
  if (!first || !same_coolant || !second) return std::nullopt;
  return Explained{*same_coolant - *first, *second - *same_coolant};
}

}  // namespace

Verdict verdict_of(const cases::ReadTrial& read, const std::vector<RecordOverlay>& overlays,
                   const Fitted* fitted) {
  Verdict out;
  const auto& wish = *read.trial.verdict;
  const auto& first = overlays[wish.first].holds[wish.limit].measured;
  const auto& second = overlays[wish.second].holds[wish.limit].measured;
  if (!first || !second || !first->hold_time || !second->hold_time) {
    out.reason = "a hold time was not measured to its end in both records";
    return out;
  }
  out.measured = {*second->hold_time - *first->hold_time,
                  sigmas * std::hypot(first->deviation(), second->deviation())};
  const cases::BaseCase base = cases::base_case(read.shared.plan);
  const auto centre = explained(read, base, fitted, 0, 1);
  if (!centre) {
    out.reason = "the model's hold time does not end within the run in one of the records";
    return out;
  }
  out.explained.value = centre->conditions;
  out.coolant_by_model = centre->coolant;
  if (fitted != nullptr) {
    constexpr std::uint64_t draws = 40;
    double squares = 0;
    int counted = 0;
    for (std::uint64_t draw = 1; draw <= draws; ++draw) {
      const auto one = explained(read, base, fitted, draw, draws);
      if (!one) continue;
      squares += std::pow(one->conditions - centre->conditions, 2);
      ++counted;
    }
    if (counted > 0) out.explained.half = sigmas * std::sqrt(squares / counted);
  }
  out.remaining = {out.measured.value - out.explained.value,
                   std::hypot(out.measured.half, out.explained.half)};
  return out;
}

}  // namespace thawline::solver::trial
