#include "solver/heat/heat_balance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/heat/covered_share.hpp"
#include "solver/heat/laws/closed_gap_law.hpp"
#include "solver/heat/laws/link_law.hpp"
#include "solver/heat/laws/source_law.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

HeatBalance::HeatBalance(const mesh::Network& network) : network_(network) {
  for (std::size_t m = 0; m < network_.materials.size(); ++m) {
    const auto& material = network_.materials[m].material;
    curves_.emplace_back(material);
    resistivity_.emplace_back();
    if (material.conductivity_solid.rows.size() > 1) continue;
    if (material.melts() && material.conductivity_liquid.rows.size() > 1) continue;
    resistivity_[m] = resistivity(static_cast<int>(m), 0, 0.5);
    resistivity_[m].fixed = true;
  }
  const std::size_t n = network_.cells.size();
  mass_.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    const auto& cell = network_.cells[i];
    mass_[i] = cell.volume * network_.materials[at(cell.material)].material.density;
  }
  for (const auto& item : network_.items) present_.push_back(item.present_at_start);
  in_force_.resize(network_.links.size());
  find_links_in_force();
  for (const auto& hub : network_.hubs) hub_cell_.push_back(hub.cell);
  hub_temperature_.resize(network_.hubs.size());
  hub_slope_.resize(network_.hubs.size());
  find_keepers();
  fronts_.assign(n, FrontPlace::none);
  mixed_.resize(n);
  began_.resize(n);
  piece_.resize(n);
  straight_.resize(n);
  zero_.resize(n);
  constant_.resize(n);
  conductance_.resize(n);
  inward_.resize(n);
  outward_.resize(n);
  for (auto* values : {&temperature_, &slope_, &fraction_, &fraction_slope_, &inner_r_, &outer_r_,
                       &inner_r_slope_, &outer_r_slope_}) {
    values->assign(n, 0.0);
  }
  set_constants();
}

void HeatBalance::find_keepers() {
  keepers_.clear();
  std::vector<int> behind(network_.hubs.size(), -1);
  for (const auto& face : network_.grid.faces) {
    if (face.hub >= 0) behind[at(face.hub)] = std::max(face.low, face.high);
  }
  for (const auto& column : network_.columns) {
    if (column.inner_hub >= 0) behind[at(column.inner_hub)] = column.first;
    if (column.outer_hub >= 0) behind[at(column.outer_hub)] = column.first + column.count - 1;
  }
  for (int hub = 0; hub < hubs(); ++hub) {
    if (!is_surface(hub)) continue;
    if (behind[at(hub)] >= 0) {
      keepers_.push_back({hub, behind[at(hub)], 1});
      continue;
    }
    const std::size_t first = keepers_.size();
    double all = 0;
    for (std::size_t k = 0; k < network_.links.size(); ++k) {
      const mesh::Link& link = network_.links[k];
      if (in_force_[k] == 0 || link.outside != mesh::Outside::none) continue;
      if (link.a != hub && link.b != hub) continue;
      const int other = link.a == hub ? link.b : link.a;
      const int cell = is_surface(other) ? behind[at(other)] : network_.hubs[at(other)].cell;
      if (cell < 0 || link.area <= 0) continue;
      keepers_.push_back({hub, cell, link.area});
      all += link.area;
    }
    for (std::size_t k = first; k < keepers_.size(); ++k) keepers_[k].share /= all;
    if (keepers_.size() == first) keepers_.push_back({hub, mesh::spread_cells(network_), 1});
  }
}

void HeatBalance::set_constants() {
  for (int i = 0; i < cells(); ++i) {
    has_fronts_ = has_fronts_ || curve(i).is_sharp();
    straight_[at(i)] = curve(i).is_straight() ? 1 : 0;
    if (straight_[at(i)] == 0) continue;
    const ThermalState s = curve(i).at(0);
    zero_[at(i)] = s.temperature;
    slope_[at(i)] = s.slope / mass(i);
    fraction_[at(i)] = s.liquid_fraction;
  }
  for (int i = 0; i < network_.chain_cells; ++i) {
    const bool fixed = resistivity_[at(network_.cells[at(i)].material)].fixed;
    constant_[at(i)] = !curve(i).melts() && fixed ? 1 : 0;
    if (constant_[at(i)] != 0) update_resistances(i);
  }
  for (const auto& column : network_.columns) {
    for (int i = column.first; i + 1 < column.first + column.count; ++i) {
      const auto a = at(i);
      if (constant_[a] == 0 || constant_[a + 1] == 0) continue;
      if (network_.between[a].thickness > 0) continue;
      conductance_[a] = 1 / (outer_r_[a] + inner_r_[a + 1]);
    }
  }
  if (has_section()) prepare_grid();
}

State HeatBalance::zero_state() const {
  return {Eigen::VectorXd::Zero(cells()), Eigen::VectorXd::Zero(hubs())};
}

Rates HeatBalance::zero_rates() const {
  return {Eigen::VectorXd::Zero(cells()), Eigen::VectorXd::Zero(hubs()),
          Eigen::VectorXd::Zero(static_cast<Eigen::Index>(network_.paths.size()))};
}

State HeatBalance::start_state() const {
  State state = zero_state();
  double mean = 0;
  for (int i = 0; i < cells(); ++i) {
    const auto& start = network_.cells[at(i)].start;
    const EnthalpyCurve& c = curve(i);
    const double h = start.liquid_fraction >= 0 && c.melts()
                         ? c.enthalpy_at_fraction(start.liquid_fraction)
                         : c.enthalpy_at(start.temperature);
    state.enthalpy[i] = mass(i) * h;
    mean += start.temperature / cells();
  }
  state.surface.setConstant(mean);
  for (const auto& face : network_.grid.faces) {
    if (face.hub < 0) continue;
    state.surface[face.hub] = network_.cells[at(std::max(face.low, face.high))].start.temperature;
  }
  for (const auto& column : network_.columns) {
    if (column.inner_hub >= 0) {
      state.surface[column.inner_hub] = network_.cells[at(column.first)].start.temperature;
    }
    if (column.outer_hub >= 0) {
      state.surface[column.outer_hub] =
          network_.cells[at(column.first + column.count - 1)].start.temperature;
    }
  }
  return state;
}

BorderedSystem HeatBalance::make_system() const {
  if (has_section()) return {{}, 0, 0, {}};
  std::vector<Block> blocks;
  for (const auto& column : network_.columns) {
    blocks.push_back({column.first, column.count, column.inner_hub, column.outer_hub});
  }
  std::vector<HubPair> touching;
  for (const auto& link : network_.links) {
    const int body = link.cover < 0 ? -1 : network_.covers[at(link.cover)].hub;
    if (body >= 0) touching.emplace_back(link.a, body);
    if (link.b < 0) continue;
    touching.emplace_back(link.a, link.b);
    if (body >= 0) touching.emplace_back(link.b, body);
  }
  return {blocks, network_.chain_cells, hubs(), touching};
}

double HeatBalance::held_in_melt(int cell, double from, double to) const {
  const double m = mass(cell);
  const MixedCell& mixed = mixed_[at(cell)];
  if (slope_[at(cell)] > 0 && !mixed.holds(from / m)) {
    if (!curve(cell).melts() || curve(cell).is_sharp()) return to;
    // Over a kink the change of temperature and that of enthalpy part: the smaller step is taken.
    const double temperature = temperature_[at(cell)] + slope_[at(cell)] * (to - from);
    const double by_temperature = m * curve(cell).enthalpy_at(temperature);
    return std::abs(by_temperature - from) < std::abs(to - from) ? by_temperature : to;
  }
  const EnthalpySpan span =
      mixed.holds(from / m) ? mixed.span() : curve(cell).isothermal_span(from / m);
  // Just past the end, so that the next iteration sees the branch beyond it.
  constexpr double past = 1e-3;  // J/kg
  return std::clamp(to, m * (span.from - past), m * (span.to + past));
}

double HeatBalance::stopped_at_melt(int cell, double from, double to) const {
  const EnthalpyCurve& c = curve(cell);
  if (!c.is_sharp()) return held_back(cell, from, to);
  constexpr double inside = 1e-3;  // J/kg
  const double m = mass(cell);
  EnthalpySpan span = mixed_[at(cell)].span();
  if (span.to <= span.from) span = {c.solid_until(), c.liquid_from()};
  if (from < m * span.from) return std::min(to, m * (span.from + inside));
  if (from > m * span.to) return std::max(to, m * (span.to - inside));
  return held_back(cell, from, to);
}

double HeatBalance::time_to_kink(int cell, double enthalpy, double watt) const {
  constexpr double never = std::numeric_limits<double>::infinity();
  const EnthalpyCurve& c = curve(cell);
  if (!c.is_sharp() || watt == 0) return never;
  EnthalpySpan span = mixed_[at(cell)].span();
  if (span.to <= span.from) span = {c.solid_until(), c.liquid_from()};
  const double missing_to_start = mass(cell) * span.from - enthalpy;
  const double missing_to_end = mass(cell) * span.to - enthalpy;
  const double near = watt > 0 ? missing_to_start : missing_to_end;
  const double far = watt > 0 ? missing_to_end : missing_to_start;
  if (near / watt > 0) return near / watt;
  return far / watt > 0 ? far / watt : never;
}

double HeatBalance::hub_temperature(const State& state, int hub) const {
  const int cell = network_.hubs[at(hub)].cell;
  return cell < 0 ? state.surface[hub] : thermal_state(state, cell).temperature;
}

void HeatBalance::update_hubs(const State& state) {
  for (int hub = 0; hub < hubs(); ++hub) {
    const int cell = hub_cell_[at(hub)];
    hub_temperature_[at(hub)] = cell < 0 ? state.surface[hub] : temperature_[at(cell)];
    hub_slope_[at(hub)] = cell < 0 ? 1 : slope_[at(cell)];
  }
}

void HeatBalance::add_to_hub(int hub, double watt, Rates& rates) const {
  const int cell = hub_cell_[at(hub)];
  if (cell < 0) {
    rates.surfaces[hub] += watt;
  } else {
    rates.cells[cell] += watt;
  }
}

HeatBalance::Resistivity HeatBalance::resistivity(int material, double temperature,
                                                  double fraction) const {
  const auto& m = network_.materials[at(material)];
  if (resistivity_[at(material)].fixed) return resistivity_[at(material)];
  const auto solid = [&] { return 1 / m.material.conductivity_solid.at(temperature); };
  const auto liquid = [&] {
    return 1 / (m.material.conductivity_liquid.at(temperature) * m.liquid_mixing);
  };
  // A phase that is not there is given the value of the other.
  Resistivity r;
  if (!m.material.melts() || fraction <= 0) {
    r.solid = r.liquid = solid();
  } else if (fraction >= 1) {
    r.solid = r.liquid = liquid();
  } else {
    r.solid = solid();
    r.liquid = liquid();
  }
  return r;
}

HalfResistances HeatBalance::half_resistances(int cell) const {
  const double f = fraction_[at(cell)];
  const Resistivity r = resistivity(network_.cells[at(cell)].material, temperature_[at(cell)], f);
  if (!curve(cell).melts()) return {0.5 * r.solid, 0.5 * r.solid, 0, 0};
  if (curve(cell).is_sharp()) return front_resistances(fronts_[at(cell)], f, r.solid, r.liquid);
  // A mushy cell conducts as its phases side by side, k = (1 − f) k_solid + f k_liquid.
  const double k = (1 - f) / r.solid + f / r.liquid;
  const double by_fraction = -0.5 * (1 / r.liquid - 1 / r.solid) / (k * k);
  return {0.5 / k, 0.5 / k, by_fraction, by_fraction};
}

void HeatBalance::update_cells(const State& state) {
  for_all(cells(), [&](int i) {
    if (straight_[at(i)] != 0) {
      temperature_[at(i)] = zero_[at(i)] + slope_[at(i)] * state.enthalpy[i];
      return;
    }
    const double m = mass(i);
    const double h = state.enthalpy[i] / m;
    const MixedCell& mixed = mixed_[at(i)];
    const ThermalState s = mixed.holds(h) ? mixed.at(h) : curve(i).at(h, piece_[at(i)]);
    temperature_[at(i)] = s.temperature;
    slope_[at(i)] = s.slope / m;
    fraction_[at(i)] = s.liquid_fraction;
    fraction_slope_[at(i)] = s.fraction_slope / m;
  });
  if (held_) return;
  for (int i = 0; i < network_.chain_cells; ++i) {
    if (constant_[at(i)] == 0) update_resistances(i);
  }
  if (has_section()) update_grid_resistances();
}

void HeatBalance::hold_fronts(bool hold) {
  if (hold && !held_) {
    std::fill(inner_r_slope_.begin(), inner_r_slope_.end(), 0.0);
    std::fill(outer_r_slope_.begin(), outer_r_slope_.end(), 0.0);
  }
  held_ = hold;
}

void HeatBalance::update_resistances(int i) {
  const HalfResistances r = half_resistances(i);
  const auto& cell = network_.cells[at(i)];
  // front_resistances speaks of the whole width as 1: half cells weigh 0.5 each.
  inner_r_[at(i)] = 2 * cell.inner_shape * r.inner;
  outer_r_[at(i)] = 2 * cell.outer_shape * r.outer;
  inner_r_slope_[at(i)] = 2 * cell.inner_shape * r.inner_slope * fraction_slope_[at(i)];
  outer_r_slope_[at(i)] = 2 * cell.outer_shape * r.outer_slope * fraction_slope_[at(i)];
}

void HeatBalance::add_column(std::size_t index, const State& state, Rates& rates,
                             BorderedSystem* jacobian, double scale) const {
  const auto& column = network_.columns[index];
  const int last = column.first + column.count - 1;
  for (int i = column.first; i < last; ++i) {
    const auto a = at(i);
    const auto b = a + 1;
    const bool fixed = conductance_[a] > 0;
    GapResistance gap;
    if (!fixed && network_.between[a].thickness > 0) {
      gap = gap_resistance(network_.between[a], (temperature_[a] + temperature_[b]) / 2);
    }
    const double g = fixed ? conductance_[a] : 1 / (outer_r_[a] + gap.value + inner_r_[b]);
    const double flow = g * (temperature_[a] - temperature_[b]);
    rates.cells[i] -= flow;
    rates.cells[i + 1] += flow;
    note(g);
    if (jacobian == nullptr) continue;
    double by_a = g * slope_[a];
    double by_b = -g * slope_[b];
    if (!fixed) {
      const double by_r = -g * flow;
      by_a += by_r * (outer_r_slope_[a] + gap.by_mean / 2 * slope_[a]);
      by_b += by_r * (inner_r_slope_[b] + gap.by_mean / 2 * slope_[b]);
    }
    jacobian->diagonal[a] += scale * by_a;
    jacobian->upper[a] += scale * by_b;
    jacobian->lower[b] -= scale * by_a;
    jacobian->diagonal[b] -= scale * by_b;
  }
  const auto join = [&](int cell, int hub, double r, double r_slope, double& to_hub_b,
                        double& to_hub_c) {
    const double g = 1 / r;
    const double flow = g * (state.surface[hub] - temperature_[at(cell)]);
    rates.cells[cell] += flow;
    rates.surfaces[hub] -= flow;
    note(g);
    if (jacobian == nullptr) return;
    const double by_cell = -g * slope_[at(cell)] - g * flow * r_slope;
    jacobian->diagonal[at(cell)] -= scale * by_cell;
    to_hub_b -= scale * g;
    to_hub_c += by_cell;
    jacobian->hubs(hub, hub) += g;
  };
  double unused = 0;
  if (column.inner_hub >= 0) {
    const auto c = at(column.first);
    join(column.first, column.inner_hub, inner_r_[c], inner_r_slope_[c],
         jacobian != nullptr ? jacobian->inner_b[index] : unused,
         jacobian != nullptr ? jacobian->inner_c[index] : unused);
  }
  if (column.outer_hub >= 0) {
    const auto c = at(last);
    join(last, column.outer_hub, outer_r_[c], outer_r_slope_[c],
         jacobian != nullptr ? jacobian->outer_b[index] : unused,
         jacobian != nullptr ? jacobian->outer_c[index] : unused);
  }
}

bool HeatBalance::in_force(const mesh::Link& link) const {
  if (!present(link.needs) || !present(link.needs_too)) return false;
  return link.unless < 0 || !present(link.unless);
}

void HeatBalance::find_links_in_force() {
  for (std::size_t k = 0; k < network_.links.size(); ++k) {
    in_force_[k] = in_force(network_.links[k]) ? 1 : 0;
  }
}

void HeatBalance::add_link(const mesh::Link& link, const Conditions& conditions, Rates& rates,
                           BorderedSystem* jacobian, double scale) const {
  const double a = hub_temperature_[at(link.a)];
  double b = 0;
  switch (link.outside) {
    case mesh::Outside::none:
      b = hub_temperature_[at(link.b)];
      break;
    case mesh::Outside::air:
      b = conditions.air;
      break;
    case mesh::Outside::ground:
      b = conditions.ground;
      break;
  }
  LinkHeat heat = link_heat(link, a, b, conditions);
  double by_cover = 0;
  if (link.cover >= 0) {
    const mesh::Cover& cover = network_.covers[at(link.cover)];
    const auto body = at(hub_cell_[at(cover.hub)]);
    const CoveredShare share = covered_share(cover, fraction_[body]);
    by_cover = heat.q * share.slope * fraction_slope_[body];
    heat = share.value * heat;
  }
  add_to_hub(link.a, -heat.q, rates);
  if (link.outside == mesh::Outside::none) add_to_hub(link.b, heat.q, rates);
  if (link.path >= 0) rates.paths[link.path] -= heat.q;
  note(link.outside == mesh::Outside::none ? (heat.by_a - heat.by_b) / 2 : heat.by_a);
  if (jacobian == nullptr) return;
  // Rows of lumped hubs are scaled like cells, rows of surfaces are not.
  const auto row_scale = [&](int hub) { return hub_cell_[at(hub)] < 0 ? 1.0 : scale; };
  const auto derivative = [&](int column, double by) {
    jacobian->hubs(link.a, column) += row_scale(link.a) * by;
    if (link.outside == mesh::Outside::none) {
      jacobian->hubs(link.b, column) -= row_scale(link.b) * by;
    }
  };
  derivative(link.a, heat.by_a * hub_slope_[at(link.a)]);
  if (link.outside == mesh::Outside::none) derivative(link.b, heat.by_b * hub_slope_[at(link.b)]);
  if (link.cover >= 0) derivative(network_.covers[at(link.cover)].hub, by_cover);
}

void HeatBalance::add_source(const mesh::Source& source, const Conditions& conditions, Rates& rates,
                             BorderedSystem* jacobian, double scale) const {
  if (!present(source.needs)) {
    note(0);
    return;
  }
  const int cell = source.hub < 0 ? source.cell : hub_cell_[at(source.hub)];
  const double temperature =
      source.hub < 0 ? temperature_[at(cell)] : hub_temperature_[at(source.hub)];
  const SourceHeat heat = source_heat(source, temperature, conditions);
  (cell < 0 ? rates.surfaces[source.hub] : rates.cells[cell]) += heat.watt;
  rates.paths[source.path] += heat.watt;
  note(-heat.by_temperature);
  if (jacobian == nullptr) return;
  if (source.hub < 0) {
    jacobian->diagonal[at(cell)] -= scale * heat.by_temperature * slope_[at(cell)];
  } else {
    jacobian->hubs(source.hub, source.hub) -=
        (cell < 0 ? 1.0 : scale) * heat.by_temperature * hub_slope_[at(source.hub)];
  }
}

void HeatBalance::keep_leftovers(Rates& rates) const {
  for (const Keeper& keeper : keepers_) {
    rates.cells[keeper.cell] += keeper.share * rates.surfaces[keeper.hub];
  }
  rates.surfaces.setZero();
}

void HeatBalance::evaluate(const State& state, const Conditions& conditions, Rates& rates,
                           BorderedSystem* jacobian, double scale) {
  update_cells(state);
  update_hubs(state);
  rates.cells.setZero();
  rates.surfaces.setZero();
  rates.paths.setZero();
  if (jacobian != nullptr) {
    jacobian->set_zero();
    std::fill(jacobian->diagonal.begin(), jacobian->diagonal.end(), 1.0);
    for (int hub = 0; hub < hubs(); ++hub) {
      if (!is_surface(hub)) jacobian->hubs(hub, hub) = 1;
    }
  }
  for (std::size_t k = 0; k < network_.columns.size(); ++k) {
    add_column(k, state, rates, jacobian, scale);
  }
  if (has_section()) add_grid_faces(state, rates);
  for (std::size_t k = 0; k < network_.links.size(); ++k) {
    if (in_force_[k] != 0) {
      add_link(network_.links[k], conditions, rates, jacobian, scale);
    } else {
      note(0);
    }
  }
  for (const auto& source : network_.sources) {
    add_source(source, conditions, rates, jacobian, scale);
  }
  if (jacobian == nullptr) return;
  for (int hub = 0; hub < hubs(); ++hub) {
    if (jacobian->hubs(hub, hub) == 0) jacobian->hubs(hub, hub) = 1;
  }
}

}  // namespace thawline::solver
