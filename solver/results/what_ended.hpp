#pragma once

#include <string>
#include <vector>

#include "solver/results/limit_watch.hpp"
#include "solver/results/situation.hpp"

namespace thawline::solver {

/// What ended a hold time, or kept a limit from ever being met.
enum class Cause {
  nothing,           ///< it still held
  spent,             ///< no coolant worth mentioning was frozen any more
  out_of_reach,      ///< there was, and the heat did not get there
  melts_above,       ///< there was, no colder than the limit
  started_too_warm,  ///< the contents' own warmth took half of the coolant or more
  weather,           ///< a warm spell: it came back within afterwards
  opening,           ///< an open lid: likewise
  put_in,            ///< warm goods were put in
  taken_out,         ///< the coolant was taken out
  no_coolant,        ///< there was none in the box
  coolant_too_cold,  ///< of a lower limit: a coolant was colder than it
  cold_outside,      ///< of a lower limit: the weather was
  started_too_cold,  ///< of a lower limit: never met
};

/// The words of `Cause` in files, in its order.
[[nodiscard]] const std::vector<std::string>& cause_words();
/// The words of `Resistance` in files, in its order.
[[nodiscard]] const std::vector<std::string>& resistance_words();

/// Share of the coolant's mass that may still be frozen where it counts as spent.
inline constexpr double spent_share = 0.05;

/// What ended a limit. Where it was never met the situation is that of its closest approach.
struct Ended {
  Cause cause = Cause::nothing;
  Situation situation;
  int item = -1;     ///< that was put in, taken out, spent last, or is the coldest coolant
  double when = -1;  ///< s, of the happening or of the coolant being spent; −1 without one
};

/// Takes the situation at the end of a limit's hold, or at its closest approach.
class EndWatch {
 public:
  /// Borrows `reader`, which must live as long.
  explicit EndWatch(const SituationReader& reader) : reader_(&reader) {}
  /// To be called after `limit` has looked at the same view.
  void look(const StepView& view, const LimitWatch& limit);
  [[nodiscard]] const Situation& situation() const { return situation_; }

 private:
  const SituationReader* reader_;
  Situation situation_;
  double closest_ = 1e9;  ///< K past the limit
  bool ended_ = false;
};

struct ItemResult;

/// Why a limit ended, by these rules in their order. An upper limit: the lid was open within the
/// half hour before and the probe came back within later: `opening`; a payload warmer than the
/// limit was added within the two hours before: `put_in`; no coolant that melts was there:
/// `taken_out` or `no_coolant`; less than a twentieth of it was frozen: `taken_out` where some was
/// taken out unspent, `started_too_warm` where the payloads had given up half of what the coolants
/// had taken up, else `spent`; its frozen part was no colder than the limit: `spent` where a
/// coolant that melts below it was, else `melts_above`; it came back within later, after a warm
/// spell outside (above the mean of the run by half a kelvin within the six hours before):
/// `weather`; else `out_of_reach`. A lower limit: never met: `started_too_cold`; `opening`
/// likewise; a coolant colder than the limit: `coolant_too_cold`; else `cold_outside`. The
/// thresholds are choices of ours.
[[nodiscard]] Ended what_ended(const cases::Case& c, const mesh::Network& network,
                               const LimitResult& limit, const std::vector<ItemResult>& items,
                               const Situation& situation);

/// The same in one sentence without a full stop; empty for `nothing`.
[[nodiscard]] std::string ended_sentence(const cases::Case& c, const mesh::Network& network,
                                         const LimitResult& limit, const Ended& ended);

}  // namespace thawline::solver
