#include <algorithm>

#include "cases/choose_detail.hpp"
#include "solver/program/report.hpp"

namespace thawline::program {

namespace {

/// What ended a limit, null where nothing did.
nlohmann::ordered_json ended_json(const cases::Case& c, const mesh::Network& network,
                                  const solver::RunResult& result, std::size_t which) {
  const solver::Ended& ended = result.ended[which];
  if (ended.cause == solver::Cause::nothing) return nullptr;
  const solver::Situation& s = ended.situation;
  nlohmann::ordered_json json{{"by", solver::cause_words()[static_cast<std::size_t>(ended.cause)]},
                              {"sentence", ended_sentence(c, network, result.limits[which], ended)},
                              {"looked_at_s", s.time},
                              {"frozen_share", s.frozen < 0 ? nlohmann::ordered_json(nullptr)
                                                            : nlohmann::ordered_json(s.frozen)}};
  if (s.coolant < 0) return json;
  json["coolant"] = network.items[static_cast<std::size_t>(s.coolant)].name;
  json["coolant_frozen_share"] = s.coolant_frozen;
  json["front_K"] = s.front;
  json["probe_K"] = s.probe_temperature;
  json["by_contact"] = s.by_contact;
  json["largest_resistance"] = solver::resistance_words()[static_cast<std::size_t>(s.largest())];
  for (std::size_t i = 0; i < solver::resistances; ++i) {
    json["drops_K"][solver::resistance_words()[i]] = s.drops[i];
  }
  return json;
}

}  // namespace

nlohmann::ordered_json run_report_json(const cases::Case& c, const mesh::Network& network,
                                       const solver::RunResult& result) {
  using nlohmann::ordered_json;
  const auto when = [](double seconds) {
    return seconds < 0 ? ordered_json(nullptr) : ordered_json(seconds);
  };
  ordered_json json;
  json["title"] = c.title;
  json["completed"] = result.summary.completed;
  json["limits"] = ordered_json::array();
  const auto hold_json = [&when](const solver::Hold& hold, double until) {
    return ordered_json{{"hold_time_s", when(hold.hold_time())}, {"held_s", hold.held(until)}};
  };
  for (const auto& r : result.limits) {
    const double until = std::min(c.run.duration, r.known_until);
    json["limits"].push_back({{"name", r.limit.name},
                              {"side", cases::word_of(r.limit.side)},
                              {"limit_K", r.limit.temperature},
                              {"chill_time_s", when(r.chill_time)},
                              {"hold_time_s", when(r.hold_time())},
                              {"end_time_s", when(r.end_time)},
                              {"held_s", r.held(c.run.duration)},
                              {"known_until_s", r.known_until},
                              {"logger_error_K", r.limit.logger_error},
                              {"tighter", hold_json(r.tighter, until)},
                              {"looser", hold_json(r.looser, until)},
                              {"flat", r.is_flat(c.run.duration)},
                              {"ended", ended_json(c, network, result, json["limits"].size())},
                              {"time_past_s", r.time_past},
                              {"worst_K", r.worst ? ordered_json(*r.worst) : nullptr},
                              {"returns", r.returns}});
  }
  json["coolant"] = ordered_json::array();
  json["payload"] = ordered_json::array();
  for (std::size_t i = 0; i < network.items.size(); ++i) {
    const auto& item = network.items[i];
    const auto& r = result.items[i];
    ordered_json entry{{"name", item.name}, {"mass_kg", item.mass}};
    entry["liquid_fraction_at_end"] =
        r.liquid_fraction < 0 ? ordered_json(nullptr) : ordered_json(r.liquid_fraction);
    if (item.share < 1 - 1e-9) {
      entry["body"] = network.items[static_cast<std::size_t>(item.body)].name;
      entry["share_of_body"] = item.share;
    }
    entry["coldest_K"] = r.coldest ? ordered_json(*r.coldest) : ordered_json(nullptr);
    entry[item.coolant ? "spent_at_s" : "freezing_at_s"] =
        when(item.coolant ? r.spent_at : r.freezing_at);
    json[item.coolant ? "coolant" : "payload"].push_back(entry);
  }
  for (std::size_t i = 0; i < network.paths.size(); ++i) {
    json["heat_in_J"][network.paths[i]] = result.heat_by_path[i];
  }
  const auto& s = result.summary;
  json["numerics"] = {{"stop_reason", s.stop_reason},
                      {"steps", s.steps},
                      {"rejected_steps", s.rejected},
                      {"newton_iterations", s.newton_iterations},
                      {"worst_residual_K", s.worst_residual},
                      {"energy_closure", s.closure},
                      {"accuracy_asked_K", c.run.accuracy},
                      {"detail", cases::word_of(c.run.detail)},
                      {"why_detail", c.run.why_detail.empty() ? ordered_json(nullptr)
                                                              : ordered_json(c.run.why_detail)}};
  json["cautions"] = cautions(c, network, result);
  return json;
}

}  // namespace thawline::program
