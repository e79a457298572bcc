#include "solver/results/what_ended.hpp"

#include <algorithm>

#include "solver/at.hpp"
#include "solver/results/item_watch.hpp"

namespace thawline::solver {

namespace {

constexpr double half_hour = 1800;
constexpr double two_hours = 7200;
constexpr double six_hours = 21600;
constexpr double warm_spell = 0.5;  ///< K above the mean
constexpr double as_cold = 0.05;    ///< K within which two temperatures count as the same
constexpr double better = 0.01;     ///< K by which a closer approach must be closer

}  // namespace

const std::vector<std::string>& cause_words() {
  static const std::vector<std::string> words{
      "nothing",          "spent",        "out_of_reach",    "melts_above", "started_too_warm",
      "weather",          "opening",      "put_in",          "taken_out",   "no_coolant",
      "coolant_too_cold", "cold_outside", "started_too_cold"};
  return words;
}

const std::vector<std::string>& resistance_words() {
  static const std::vector<std::string> words{"contents", "air", "film", "contact", "pack"};
  return words;
}

void EndWatch::look(const StepView& view, const LimitWatch& limit) {
  const LimitResult& r = limit.result();
  if (ended_) return;
  const bool above = r.limit.side == cases::Side::not_above;
  const auto probe_at = [&](double past) { return r.limit.temperature + (above ? past : -past); };
  if (r.end_time >= 0) {
    ended_ = true;
    const double when = std::clamp(r.end_time, view.begin, view.end);
    situation_ = reader_->look(view, when, probe_at(limit.past(view, when)));
    return;
  }
  if (r.chill_time >= 0) {
    situation_ = {};
    return;
  }
  if (r.known_until < view.end) return;
  const double past = limit.past(view, view.end);
  if (past < -1e8 || past > closest_ - better) return;
  closest_ = past;
  situation_ = reader_->look(view, view.end, probe_at(past));
}

namespace {

int item_named(const mesh::Network& network, const std::string& name) {
  const auto found = std::find_if(network.items.begin(), network.items.end(),
                                  [&name](const auto& item) { return item.name == name; });
  return found == network.items.end() ? -1 : static_cast<int>(found - network.items.begin());
}

/// When the lid was opened that was open within the half hour before `time`; −1: none was.
double opened_before(const cases::Case& c, double time) {
  double when = -1;
  for (const auto& happening : c.happenings) {
    const auto* open = std::get_if<cases::OpenLid>(&happening.what);
    if (open == nullptr || happening.at > time) continue;
    if (happening.at + open->duration >= time - half_hour) when = happening.at;
  }
  return when;
}

bool was_warm_spell(const cases::Case& c, double time) {
  const double mean = cases::mean_temperature(c.surroundings.air, c.run.duration);
  constexpr int looks = 73;  // every five minutes
  for (int i = 0; i < looks; ++i) {
    const double t = time - six_hours * i / (looks - 1);
    if (t >= 0 && cases::temperature_at(c.surroundings.air, t) > mean + warm_spell) return true;
  }
  return false;
}

/// The payload warmer than a limit that was added last before `time`.
void look_for_goods(const cases::Case& c, const mesh::Network& network, double limit, double time,
                    Ended& out) {
  for (const auto& happening : c.happenings) {
    const auto* add = std::get_if<cases::AddItem>(&happening.what);
    if (add == nullptr || happening.at > time || happening.at < time - two_hours) continue;
    for (const auto& payload : c.payloads) {
      if (payload.name != add->item || payload.start <= limit) continue;
      out.cause = Cause::put_in;
      out.item = item_named(network, payload.name);
      out.when = happening.at;
    }
  }
}

/// The coolant not yet spent that was taken out last before `time`.
void look_for_taken_out(const cases::Case& c, const mesh::Network& network,
                        const std::vector<ItemResult>& items, double time, Ended& out) {
  for (const auto& happening : c.happenings) {
    const auto* removed = std::get_if<cases::RemoveItem>(&happening.what);
    if (removed == nullptr || happening.at > time) continue;
    const int item = item_named(network, removed->item);
    if (item < 0 || !network.items[at(item)].coolant) continue;
    const double spent_at = items[at(item)].spent_at;
    if (spent_at >= 0 && spent_at <= happening.at) continue;
    out.cause = Cause::taken_out;
    out.item = item;
    out.when = happening.at;
  }
}

/// The coolant that was spent last before `time`, of those that begin to melt below `limit` (K).
void name_spent(const cases::Case& c, const std::vector<ItemResult>& items, double time,
                double limit, Ended& out) {
  for (std::size_t i = 0; i < c.coolants.size(); ++i) {
    if (items[i].spent_at < 0 || items[i].spent_at > time) continue;
    if (solidus_of(c.coolants[i].material) >= limit) continue;
    if (items[i].spent_at <= out.when) continue;
    out.item = static_cast<int>(i);
    out.when = items[i].spent_at;
  }
}

Ended upper_end(const cases::Case& c, const mesh::Network& network, const LimitResult& limit,
                const std::vector<ItemResult>& items, const Situation& s) {
  Ended out{Cause::nothing, s, -1, -1};
  const bool came_back = limit.came_back_at >= 0;
  const double opened = opened_before(c, s.time);
  if (came_back && opened >= 0) {
    out.cause = Cause::opening;
    out.when = opened;
    return out;
  }
  if (limit.end_time >= 0) look_for_goods(c, network, limit.limit.temperature, s.time, out);
  if (out.cause != Cause::nothing) return out;
  if (s.frozen < spent_share) {
    look_for_taken_out(c, network, items, s.time, out);
    if (out.cause != Cause::nothing) return out;
    out.cause = s.frozen < 0               ? Cause::no_coolant
                : s.given >= 0.5 * s.taken ? Cause::started_too_warm
                                           : Cause::spent;
    name_spent(c, items, s.time, 1e9, out);
    return out;
  }
  out.item = s.coolant;
  if (s.front >= limit.limit.temperature - as_cold) {
    out.cause = Cause::melts_above;
    name_spent(c, items, s.time, limit.limit.temperature - as_cold, out);
    if (out.when > 0) out.cause = Cause::spent;
  } else if (came_back && was_warm_spell(c, s.time)) {
    out.cause = Cause::weather;
  } else {
    out.cause = Cause::out_of_reach;
  }
  return out;
}

Ended lower_end(const cases::Case& c, const LimitResult& limit, const Situation& s) {
  Ended out{Cause::cold_outside, s, -1, -1};
  const double opened = opened_before(c, s.time);
  if (limit.came_back_at >= 0 && opened >= 0) {
    out.cause = Cause::opening;
    out.when = opened;
  } else if (s.coldest >= 0 && s.coldest_temperature < limit.limit.temperature) {
    out.cause = Cause::coolant_too_cold;
    out.item = s.coldest;
  }
  return out;
}

}  // namespace

Ended what_ended(const cases::Case& c, const mesh::Network& network, const LimitResult& limit,
                 const std::vector<ItemResult>& items, const Situation& situation) {
  if (situation.time < 0 || (limit.chill_time >= 0 && limit.end_time < 0)) return {};
  if (limit.limit.side == cases::Side::not_above) {
    return upper_end(c, network, limit, items, situation);
  }
  if (limit.chill_time < 0) return {Cause::started_too_cold, situation, -1, -1};
  return lower_end(c, limit, situation);
}

}  // namespace thawline::solver
