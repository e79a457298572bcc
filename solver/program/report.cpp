#include "solver/program/report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/choose_detail.hpp"
#include "mesh/loose_bed.hpp"
#include "mesh/section/add_section.hpp"
#include "mesh/standing.hpp"
#include "solver/results/estimate.hpp"

namespace thawline::program {

namespace {

double celsius(double kelvin) { return kelvin - 273.15; }
double hours(double seconds) { return seconds / 3600; }

std::string time_text(double seconds) {
  if (seconds < 3600) return fmt::format("{:.0f} min", seconds / 60);
  return fmt::format("{:.1f} h", hours(seconds));
}

/// The same without its unit.
std::string number_text(double seconds) {
  return seconds < 3600 ? fmt::format("{:.0f}", seconds / 60)
                        : fmt::format("{:.1f}", hours(seconds));
}

std::string energy_text(double joule) {
  if (std::abs(joule) >= 1e6) return fmt::format("{:.2f} MJ", joule / 1e6);
  return fmt::format("{:.0f} kJ", joule / 1e3);
}

/// How far it came, such as "; warmest 6.1 degC". What met its limit late was at it then: no news.
std::string worst_text(const solver::LimitResult& r) {
  if (!r.worst || (r.chill_time > 0 && r.end_time < 0)) return {};
  const bool above = r.limit.side == cases::Side::not_above;
  return fmt::format("; {} {:.1f} degC", above ? "warmest" : "coldest", celsius(*r.worst));
}

/// What a logger's error makes of a time held, such as "; 8.1 to 18.0 h within half a kelvin: ...";
/// nothing where the curve is steep.
std::string worth_text(const cases::Case& c, const solver::LimitResult& r) {
  if (!r.is_flat(c.run.duration)) return {};
  const double least = r.held_least(c.run.duration);
  const double most = r.held_most(c.run.duration);
  const bool open = most >= std::min(c.run.duration, r.known_until) - r.chill_time;
  const bool one_unit = (least < 3600) == (most < 3600);
  const double error = r.limit.logger_error;
  const std::string within =
      std::abs(error - 0.5) < 1e-9 ? "half a kelvin" : fmt::format("{:g} K", error);
  return fmt::format("; {} to {}{} within {}: the curve is flat here",
                     one_unit ? number_text(least) : time_text(least), open ? "more than " : "",
                     time_text(most), within);
}

std::string limit_text(const cases::Case& c, const solver::LimitResult& r) {
  const bool above = r.limit.side == cases::Side::not_above;
  if (r.chill_time < 0) {
    return fmt::format("never comes {} {:.1f} degC", above ? "down to" : "up to",
                       celsius(r.limit.temperature));
  }
  const std::string chilled =
      r.chill_time > 0 ? fmt::format("within the limit from {}; ", time_text(r.chill_time)) : "";
  if (r.end_time < 0 && r.known_until < c.run.duration) {
    const bool by_trace = r.known_until >= cases::known_until(c.surroundings.air);
    return fmt::format("{}holds at least {}, until {} at {}{}{}", chilled,
                       time_text(r.held(c.run.duration)),
                       by_trace ? "the trace ends" : "what it watches is taken out",
                       time_text(r.known_until), worst_text(r), worth_text(c, r));
  }
  if (r.end_time < 0) {
    return fmt::format("{}still holds at the end of the run ({}){}{}", chilled,
                       time_text(c.run.duration), worst_text(r), worth_text(c, r));
  }
  std::string text = fmt::format("{}holds {}, ends at {}", chilled, time_text(r.hold_time()),
                                 time_text(r.end_time));
  if (r.returns > 0) {
    text += fmt::format("; comes back {} time{}, past the limit for {} in all", r.returns,
                        r.returns == 1 ? "" : "s", time_text(r.time_past));
  }
  return text + worst_text(r) + worth_text(c, r);
}

/// How a sentence on what ended it begins.
const char* end_word(const solver::LimitResult& r) { return r.end_time < 0 ? "why: " : "ended: "; }

/// Which share of a body that alike packs make an item is; nothing for one that is a body itself.
std::string share_text(const mesh::Network& network, const mesh::Item& item) {
  if (item.share > 1 - 1e-9) return {};
  std::string others;
  for (const auto& other : network.items) {
    if (other.body != item.body || other.name == item.name) continue;
    others += fmt::format("{}'{}'", others.empty() ? "" : ", ", other.name);
  }
  return fmt::format(" ({:.0f} % of one body with {})", 100 * item.share, others);
}

std::string item_text(const mesh::Item& item, const solver::ItemResult& r) {
  if (item.coolant) {
    if (r.spent_at >= 0) return fmt::format("spent (all liquid) at {}", time_text(r.spent_at));
    if (r.liquid_fraction < 0) return "does not melt, or is out of the box at the end";
    return fmt::format("{:.0f} % melted at the end", 100 * r.liquid_fraction);
  }
  if (r.freezing_at >= 0) return fmt::format("begins to freeze at {}", time_text(r.freezing_at));
  if (!r.started_liquid) {
    return fmt::format("starts frozen; {:.0f} % of its freezing water is liquid at the end",
                       100 * r.liquid_fraction);
  }
  return "does not begin to freeze";
}

/// How finely it was computed, and why so where the case does not say.
std::string detail_text(const cases::Case& c) {
  return cases::detail_line(c.run.detail, c.run.accuracy, c.run.why_detail) + "\n";
}

std::size_t longest_name(const mesh::Network& network, const solver::RunResult& result) {
  std::size_t width = 8;
  for (const auto& limit : result.limits) width = std::max(width, limit.limit.name.size());
  for (const auto& item : network.items) width = std::max(width, item.name.size());
  return width;
}

}  // namespace

std::vector<std::string> cautions(const cases::Case& c, const mesh::Network& network,
                                  const solver::RunResult& result) {
  std::vector<std::string> list;
  bool warm = false;
  for (const auto& r : result.limits) {
    warm = warm || r.end_time >= 0 || r.chill_time != 0 ||
           (r.limit.side == cases::Side::not_above && r.limit.temperature > 278.15 + 1e-9);
  }
  if (!c.payloads.empty() && warm) {
    list.emplace_back(
        "Food codes commonly ask for cold food at 5 degC or below (FSANZ Standard 3.2.2; US FDA "
        "Food Code 3-501.16: 41 degF) and limit the time above it. This is an estimate: measure, "
        "and follow your local food code.");
  }
  for (std::size_t i = 0; i < network.items.size(); ++i) {
    if (network.items[i].coolant || result.items[i].freezing_at < 0) continue;
    list.push_back(fmt::format(
        "'{}' begins to freeze. Water grows by about 9 % as it freezes; closed cans and bottles "
        "can burst.",
        network.items[i].name));
  }
  for (const auto& coolant : c.coolants) {
    if (coolant.start > 213.15 && solidus_of(coolant.material) > 213.15) continue;
    list.push_back(fmt::format(
        "'{}' is colder than -60 degC. Dry ice and liquid nitrogen burn skin and give off gas that "
        "can suffocate or burst a closed box: vent the box and the room, wear insulating gloves, "
        "and follow local rules and licensed practice.",
        coolant.name));
  }
  return list;
}

std::string run_report(const cases::Case& c, const mesh::Network& network,
                       const solver::RunResult& result) {
  const std::size_t width = longest_name(network, result);
  std::string text = c.title + "\n\n";
  for (const auto& r : result.limits) {
    text += fmt::format("  {:{}}  {}\n", r.limit.name, width, limit_text(c, r));
    const auto which = static_cast<std::size_t>(&r - result.limits.data());
    const std::string why = ended_sentence(c, network, r, result.ended[which]);
    if (!why.empty()) text += fmt::format("  {:{}}  {}{}\n", "", width, end_word(r), why);
  }
  for (std::size_t i = 0; i < network.items.size(); ++i) {
    text += fmt::format(
        "  {:{}}  {}\n", network.items[i].name, width,
        item_text(network.items[i], result.items[i]) + share_text(network, network.items[i]));
  }
  double inward = 0;
  for (const double heat : result.heat_by_path) inward += std::max(heat, 0.0);
  text += fmt::format("\nHeat that came in over {}: {}\n", time_text(c.run.duration),
                      energy_text(inward));
  std::vector<std::size_t> order(network.paths.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(), [&result](std::size_t a, std::size_t b) {
    return result.heat_by_path[a] > result.heat_by_path[b];
  });
  for (const std::size_t i : order) {
    const double heat = result.heat_by_path[i];
    if (heat == 0) continue;
    text += heat > 0 ? fmt::format("  {:{}}  {:5.1f} %  {}\n", network.paths[i], width,
                                   100 * heat / inward, energy_text(heat))
                     : fmt::format("  {:{}}  (out)    {}\n", network.paths[i], width,
                                   energy_text(-heat));
  }
  text += "\n" + detail_text(c);
  for (const auto& notice : c.notices) text += fmt::format("\nNote: {}.\n", notice);
  for (const auto& caution : cautions(c, network, result)) {
    text += fmt::format("\nCaution: {}\n", caution);
  }
  return text;
}

namespace {

/// How high a bed of loose pieces reaches, and how it touches walls and contents.
std::string bed_text(const cases::Case& c, const cases::Coolant& coolant) {
  const mesh::LooseBed bed = mesh::loose_bed(c, coolant);
  const std::string melted =
      bed.drained ? "its water is let out"
                  : fmt::format("{:.0f} mm once all is water", 1e3 * level_of(bed, 1));
  return fmt::format(
      "        reaches {:.0f} mm high, {}; contact {:.0f} W/m2/K dry, {:.0f} wet, {:.0f} wet to "
      "what "
      "stands in it\n",
      1e3 * level_of(bed, 0), melted, std::min(mesh::dry_contact, coolant.contact.coefficient),
      coolant.contact.coefficient, coolant.contact.of_contents);
}

/// How many pieces, what to pour for them, and how far whole ones are off.
std::string pieces_text(const cases::Coolant& coolant) {
  const cases::Pieces& p = *coolant.pieces;
  const double growth = coolant.material.density_liquid / coolant.material.density - 1;
  return fmt::format(
      "        {} pieces of {:.3g} mL, {:+.1f} % beside what was asked; {:.3f} L to freeze for "
      "them, "
      "which grow by {:.0f} %\n",
      p.count, 1e6 * p.each / coolant.material.density, 100 * (coolant.mass / p.asked - 1),
      1e3 * liquid_volume_of(coolant), 100 * growth);
}

/// What each payload stands on.
std::string standing_text(const cases::Case& c, std::size_t payload) {
  std::string text;
  for (const mesh::Standing& s : mesh::standings_of(c)) {
    if (static_cast<std::size_t>(s.payload) != payload) continue;
    text += fmt::format("        stands on {} over {:.0f} cm2, contact {:.0f} W/m2/K\n",
                        s.pack == mesh::side_walls ? "the side walls beside it"
                        : s.pack < 0               ? "the base"
                                     : c.coolants[static_cast<std::size_t>(s.pack)].name,
                        1e4 * s.area, s.coefficient);
  }
  const double on_bed = mesh::area_on_bed(c, payload);
  for (const cases::Coolant& coolant : c.coolants) {
    if (on_bed <= 0 || coolant.form != cases::CoolantForm::loose) continue;
    text += fmt::format("        rests on {} over {:.0f} cm2, contact {:.0f} W/m2/K\n",
                        coolant.name, 1e4 * on_bed, c.payloads[payload].stands.coefficient);
  }
  return text;
}

}  // namespace

std::string check_report(const cases::Case& c, const mesh::Network& network) {
  std::string text = c.title + "\n\n";
  text += fmt::format("Box     {:.1f} L inside, walls {:.0f} mm, lid {:.0f} mm, base {:.0f} mm\n",
                      1e3 * inside_volume(c.box), 1e3 * thickness_of(c.box.sides),
                      1e3 * thickness_of(c.box.lid), 1e3 * thickness_of(c.box.base));
  text += "        steady conductance of the walls at 10 degC, W/K:\n";
  text += fmt::format("        {:10} {:>8} {:>8} {:>8}\n", "", "plane", "edges", "corners");
  for (const auto& wall : network.walls) {
    text += fmt::format("        {:10} {:8.4f} {:8.4f} {:8.4f}\n", wall.name, wall.plane,
                        wall.edges, wall.corners);
  }
  for (std::size_t i = 0; i < c.coolants.size(); ++i) {
    const cases::Coolant& coolant = c.coolants[i];
    const std::string voids =
        coolant.form != cases::CoolantForm::loose
            ? ""
            : fmt::format(" ({:.2f} L with its voids)", 1e3 * space_of(coolant));
    text += fmt::format("Coolant {}: {:.2f} kg {}, {:.2f} L{}, from {:.1f} degC", coolant.name,
                        coolant.mass, coolant.material.title, 1e3 * volume_of(coolant), voids,
                        celsius(coolant.start));
    if (coolant.material.melts()) {
      const double from = celsius(solidus_of(coolant.material));
      const double to = celsius(liquidus_of(coolant.material));
      text += to - from < 1e-6 ? fmt::format(", melts at {:.1f} degC", to)
                               : fmt::format(", melts from {:.1f} to {:.1f} degC", from, to);
      text += fmt::format(", takes up {} until all is liquid",
                          energy_text(solver::frozen_energy(coolant)));
    }
    text += share_text(network, network.items[i]) + "\n";
    if (coolant.pieces) text += pieces_text(coolant);
    if (coolant.form == cases::CoolantForm::loose) text += bed_text(c, coolant);
  }
  for (std::size_t i = 0; i < c.payloads.size(); ++i) {
    const cases::Payload& payload = c.payloads[i];
    text += fmt::format("Payload {}: {:.2f} kg {}, {:.2f} L, from {:.1f} degC\n", payload.name,
                        mass_of(payload), payload.contents.title, 1e3 * volume_of(payload),
                        celsius(payload.start));
    text += standing_text(c, i);
  }
  if (network.grid.count > 0) {
    text +=
        fmt::format("Section {} x {} lines, {} cells in it, about {:.0f} MB to compute\n",
                    network.grid.x.size(), network.grid.z.size(), network.grid.count,
                    std::ceil(network.grid.count * mesh::section::section_bytes_per_cell / 1e6));
  }
  text += detail_text(c);
  const solver::Estimate e = solver::estimate(c, network);
  text += fmt::format("Around  {:.1f} degC on average over {}\n", celsius(e.ambient),
                      time_text(c.run.duration));
  text += fmt::format("\nWhole box with air films and gasket: UA = {:.3f} W/K\n", e.conductance);
  for (const auto& [path, conductance] : e.by_path) {
    text += fmt::format("  {:10} {:.3f}\n", path, conductance);
  }
  if (e.spent_after > 0) {
    text += fmt::format(
        "First estimate: coolant spent after {}\n"
        "  = (coolant {} - payload {}) / (UA {:.3f} W/K x {:.1f} K), steady walls, all mixed\n",
        time_text(e.spent_after), energy_text(e.frozen_energy), energy_text(e.payload_energy),
        e.conductance, e.ambient - e.melting_point);
  } else if (!c.coolants.empty()) {
    text +=
        "First estimate: none (no frozen energy left over, or no warmer around than the coolant "
        "melts)\n";
  }
  for (const auto& notice : c.notices) text += fmt::format("\nNote: {}.\n", notice);
  return text;
}

}  // namespace thawline::program
