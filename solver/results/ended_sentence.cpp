#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/at.hpp"
#include "solver/results/what_ended.hpp"

namespace thawline::solver {

namespace {

double celsius(double kelvin) { return kelvin - 273.15 + 0.0; }

std::string time_text(double seconds) {
  if (seconds < 3600) return fmt::format("{:.0f} min", seconds / 60);
  return fmt::format("{:.1f} h", seconds / 3600);
}

/// "less than 1", "76".
std::string percent(double share) {
  const double number = 100 * share;
  return number < 1 ? "less than 1" : fmt::format("{:.0f}", number);
}

std::string name_of(const mesh::Network& network, int item) {
  return item < 0 ? std::string("the coolant") : "'" + network.items[at(item)].name + "'";
}

/// m2 of a pack's broad faces that its contents or the air may touch.
double broad_area(const cases::Coolant& coolant) {
  const double face = volume_of(coolant) / coolant.thickness;
  return coolant.place == cases::Place::free || coolant.place == cases::Place::around_payload
             ? 2 * face
             : face;
}

/// Where most of the way lies, such as "its film in the air (5.3 of 8.1 K, over 0.06 m2)".
std::string way_text(const cases::Case& c, const Ended& ended) {
  const Situation& s = ended.situation;
  static const char* const where[] = {"the contents themselves", "the layers of air",
                                      "its film in the air", "its contact with the contents",
                                      "what has melted of it"};
  const Resistance largest = s.largest();
  const char* what = where[static_cast<std::size_t>(largest)];
  if (largest == Resistance::contents && !s.by_contact) {
    what = "the way from the contents to the air";
  }
  const auto coolants = static_cast<int>(c.coolants.size());
  const bool pack = s.coolant >= 0 && s.coolant < coolants &&
                    c.coolants[at(s.coolant)].form == cases::CoolantForm::pack;
  const bool by_area = largest == Resistance::film || largest == Resistance::contact;
  const std::string area =
      pack && by_area ? fmt::format(" over {:.2g} m2", broad_area(c.coolants[at(s.coolant)])) : "";
  return fmt::format(
      "most of the way is {}, {:.1f} K{} (the contents were {:.1f} K warmer than its frozen part)",
      what, s.drops[static_cast<std::size_t>(largest)], area, s.probe_temperature - s.front);
}

std::string spent_text(const mesh::Network& network, const LimitResult& limit, const Ended& ended) {
  const Situation& s = ended.situation;
  if (s.frozen >= spent_share) {
    return fmt::format(
        "{} was spent {} before, at {}; {}, still {} % frozen, is no colder than the limit",
        name_of(network, ended.item), time_text(s.time - ended.when), time_text(ended.when),
        name_of(network, s.coolant), percent(s.coolant_frozen));
  }
  if (s.frozen >= 0.005) {
    return fmt::format("{} was all but spent, {} % of it still frozen", name_of(network, s.coolant),
                       percent(s.frozen));
  }
  if (ended.when <= 0) return "the coolant was spent";
  const double before = s.time - ended.when;
  if (limit.end_time < 0) {
    return fmt::format("{} was spent at {}", name_of(network, ended.item), time_text(ended.when));
  }
  return fmt::format("{} was spent {} before, at {}", name_of(network, ended.item),
                     time_text(before), time_text(ended.when));
}

std::string frozen_text(const mesh::Network& network, const Situation& s) {
  return fmt::format("{} was still {} % frozen", name_of(network, s.coolant),
                     percent(s.coolant_frozen));
}

}  // namespace

std::string ended_sentence(const cases::Case& c, const mesh::Network& network,
                           const LimitResult& limit, const Ended& ended) {
  const Situation& s = ended.situation;
  switch (ended.cause) {
    case Cause::nothing:
      return {};
    case Cause::spent:
      return spent_text(network, limit, ended);
    case Cause::out_of_reach:
      return fmt::format("{} and the heat did not reach it: {}", frozen_text(network, s),
                         way_text(c, ended));
    case Cause::melts_above:
      return fmt::format("{} but at {:.1f} degC, no colder than the limit", frozen_text(network, s),
                         celsius(s.front));
    case Cause::started_too_warm:
      return fmt::format(
          "{}; the contents started too warm: {:.0f} % of what it took up came from "
          "them",
          spent_text(network, limit, ended), 100 * s.given / s.taken);
    case Cause::weather:
      return fmt::format("a warm spell outside; {}, and it came back within at {}",
                         frozen_text(network, s), time_text(limit.came_back_at));
    case Cause::opening:
      return fmt::format("the lid was opened at {}; it came back within at {}",
                         time_text(ended.when), time_text(limit.came_back_at));
    case Cause::put_in:
      return fmt::format("{} was put in at {}, warmer than the limit", name_of(network, ended.item),
                         time_text(ended.when));
    case Cause::taken_out:
      return fmt::format("{} was taken out at {}", name_of(network, ended.item),
                         time_text(ended.when));
    case Cause::no_coolant:
      return "there was no coolant in the box";
    case Cause::coolant_too_cold:
      return fmt::format("{} was colder than the limit, {:.1f} degC on average",
                         name_of(network, ended.item), celsius(s.coldest_temperature));
    case Cause::cold_outside:
      return fmt::format("it was cold outside, {:.1f} degC", celsius(s.ambient));
    case Cause::started_too_cold:
      return "the contents started too cold";
  }
  return {};
}

}  // namespace thawline::solver
