#include "solver/results/situation.hpp"

#include <algorithm>
#include <cmath>

#include "solver/at.hpp"
#include "solver/heat/covered_share.hpp"
#include "solver/heat/laws/link_law.hpp"

namespace thawline::solver {

Resistance Situation::largest() const {
  return static_cast<Resistance>(std::max_element(drops.begin(), drops.end()) - drops.begin());
}

void SituationReader::begin(const StepView& view) {
  if (!start_.empty()) return;
  const int cells = view.balance->cells();
  start_.reserve(at(cells));
  for (int i = 0; i < cells; ++i) start_.push_back(view.enthalpy(i, view.end));
}

namespace {

/// Heat that a coolant takes up on one kind of way, and the temperatures at its ends.
struct Way {
  double heat = 0;     ///< W
  double surface = 0;  ///< K W, of the coolant's surface
  double other = 0;    ///< K W, of what is on the other side
};

struct Ways {
  Way air, contact;
  double beside = 0, beside_heat = 0;  ///< K W and W of the air that the coolant touches
};

double hub_temperature(const StepView& view, int hub, double time) {
  const int cell = view.balance->network().hubs[at(hub)].cell;
  if (cell < 0) return view.surface(hub, time);
  return view.balance->thermal_state(view.enthalpy(cell, time), cell).temperature;
}

bool in_force(const StepView& view, const mesh::Link& link) {
  const HeatBalance& balance = *view.balance;
  return balance.present(link.needs) && balance.present(link.needs_too) &&
         !(link.unless >= 0 && balance.present(link.unless));
}

/// W along a link inside the box, from a to b.
double watt(const StepView& view, const mesh::Link& link, double a, double b, double time) {
  const mesh::Network& network = view.balance->network();
  double share = 1;
  if (link.cover >= 0) {
    const auto& cover = network.covers[at(link.cover)];
    const int body = network.hubs[at(cover.hub)].cell;
    const double fraction =
        view.balance->thermal_state(view.enthalpy(body, time), body).liquid_fraction;
    share = covered_share(cover, fraction).value;
  }
  return share * link_heat(link, a, b, view.conditions).q;
}

void take(const StepView& view, const mesh::Link& link, int item, double time, Ways& ways) {
  const mesh::Network& network = view.balance->network();
  const bool a_cools = network.hubs[at(link.a)].item == item;
  const int near = a_cools ? link.a : link.b;
  const int far = a_cools ? link.b : link.a;
  const mesh::Hub& other = network.hubs[at(far)];
  if (other.item == item) return;
  const bool contents = other.item >= 0 && !network.items[at(other.item)].coolant;
  const bool air = other.cell >= 0 && network.cells[at(other.cell)].item < 0;
  const bool glow = link.law == mesh::Law::radiation;
  if (!contents && !air && !glow) return;
  const double surface = hub_temperature(view, near, time);
  const double beyond = hub_temperature(view, far, time);
  const double q =
      a_cools ? -watt(view, link, surface, beyond, time) : watt(view, link, beyond, surface, time);
  if (q <= 0) return;
  Way& way = contents ? ways.contact : ways.air;
  way.heat += q;
  way.surface += q * surface;
  way.other += q * beyond;
  if (!air) return;
  ways.beside += q * beyond;
  ways.beside_heat += q;
}

double air_temperature(const StepView& view, double time) {
  for (const auto& probe : view.balance->network().probes) {
    if (probe.name != "air" || probe.item >= 0) continue;
    double sum = 0;
    for (std::size_t i = 0; i < probe.cells.size(); ++i) {
      const int cell = probe.cells[i];
      sum += probe.weights[i] *
             view.balance->thermal_state(view.enthalpy(cell, time), cell).temperature;
    }
    return sum;
  }
  return 0;
}

}  // namespace

void SituationReader::look_at_coolants(const StepView& view, double time, Situation& out) const {
  const HeatBalance& balance = *view.balance;
  double melting_mass = 0;
  double solid_mass = 0;
  double most_left = 0;
  for (std::size_t i = 0; i < network_->items.size(); ++i) {
    const mesh::Item& item = network_->items[i];
    if (!balance.present(static_cast<int>(i))) continue;
    double gained = 0;
    for (const int cell : item.all_cells) gained += view.enthalpy(cell, time) - start_[at(cell)];
    gained *= item.share;
    (item.coolant ? out.taken : out.given) += item.coolant ? gained : -gained;
    if (!item.coolant) continue;
    double mass = 0;
    double warmth = 0;
    double solid = 0;
    double solid_warmth = 0;
    for (const int cell : item.cells) {
      const auto state = balance.thermal_state(view.enthalpy(cell, time), cell);
      const double m = balance.mass(cell);
      const double s = balance.curve(cell).melts() ? m * (1 - state.liquid_fraction) : 0;
      mass += m;
      warmth += m * state.temperature;
      solid += s;
      solid_warmth += s * state.temperature;
    }
    if (mass > 0 && (out.coldest < 0 || warmth / mass < out.coldest_temperature)) {
      out.coldest = static_cast<int>(i);
      out.coldest_temperature = warmth / mass;
    }
    const EnthalpyCurve& curve = balance.curve(item.cells.front());
    if (!curve.melts()) continue;
    melting_mass += item.share * mass;
    solid_mass += item.share * solid;
    const double left = item.share * solid * curve.melting_enthalpy();
    if (left <= most_left) continue;
    most_left = left;
    out.coolant = static_cast<int>(i);
    out.coolant_frozen = solid / mass;
    out.coolant_melting = curve.melting_enthalpy();
    out.front = solid_warmth / solid;
  }
  if (melting_mass > 0) out.frozen = solid_mass / melting_mass;
}

void SituationReader::look_at_the_way(const StepView& view, double time, Situation& out) const {
  if (out.coolant < 0) return;
  Ways ways;
  const int body = network_->items[at(out.coolant)].body;
  for (const mesh::Link& link : network_->links) {
    if (link.outside != mesh::Outside::none || !in_force(view, link)) continue;
    if (network_->hubs[at(link.a)].item != body && network_->hubs[at(link.b)].item != body) {
      continue;
    }
    take(view, link, body, time, ways);
  }
  out.by_contact = ways.contact.heat > ways.air.heat;
  const Way& way = out.by_contact ? ways.contact : ways.air;
  if (way.heat <= 0) return;
  const auto drop = [&out](Resistance where) -> double& {
    return out.drops[static_cast<std::size_t>(where)];
  };
  const double surface = way.surface / way.heat;
  drop(Resistance::pack) = surface - out.front;
  if (out.by_contact) {
    const double touching = way.other / way.heat;
    drop(Resistance::contact) = touching - surface;
    drop(Resistance::contents) = out.probe_temperature - touching;
    return;
  }
  const double air = air_temperature(view, time);
  const double beside = ways.beside_heat > 0 ? ways.beside / ways.beside_heat : air;
  drop(Resistance::film) = beside - surface;
  drop(Resistance::air) = air - beside;
  drop(Resistance::contents) = out.probe_temperature - air;
}

Situation SituationReader::look(const StepView& view, double time, double probe_temperature) const {
  Situation out;
  out.time = time;
  out.probe_temperature = probe_temperature;
  out.ambient = view.conditions.air;
  look_at_coolants(view, time, out);
  look_at_the_way(view, time, out);
  return out;
}

}  // namespace thawline::solver
