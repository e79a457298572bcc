#include "solver/heat/heat_balance.hpp"

#include <algorithm>

#include "solver/at.hpp"

namespace thawline::solver {

HeatBalance::HeatBalance(const mesh::Network& network)
    : network_(network),
      neighbours_(neighbours_of(network_)),
      cells_(network_),
      fronts_(cells_, neighbours_),
      faces_(network_, neighbours_, cells_),
      links_(network_) {
  for (const auto& item : network_.items) present_.push_back(item.present_at_start);
  links_.set_present(present_);
  leftovers_ = leftovers_of(network_, links_);
}

void HeatBalance::set_present(int item, bool present) {
  present_[at(item)] = present;
  links_.set_present(present_);
  leftovers_ = leftovers_of(network_, links_);
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
  for (const auto& face : network_.faces) {
    if (face.hub < 0) continue;
    state.surface[face.hub] = network_.cells[at(std::max(face.low, face.high))].start.temperature;
  }
  return state;
}

double HeatBalance::hub_temperature(const State& state, int hub) const {
  const int cell = network_.hubs[at(hub)].cell;
  return cell < 0 ? state.surface[hub] : thermal_state(state, cell).temperature;
}

void HeatBalance::keep_leftovers(Rates& rates) const {
  for (const Leftover& leftover : leftovers_) {
    rates.cells[leftover.cell] += leftover.share * rates.surfaces[leftover.hub];
  }
  rates.surfaces.setZero();
}

void HeatBalance::evaluate(const State& state, const Conditions& conditions, Rates& rates) {
  cells_.update(state);
  if (!held_) faces_.update_resistances(cells_, fronts_);
  rates.cells.tail(cells() - mesh::spread_cells(network_)).setZero();
  rates.surfaces.setZero();
  rates.paths.setZero();
  faces_.evaluate(cells_, held_);
  faces_.add_to(rates);
  links_.evaluate(cells_, conditions, rates);
}

std::vector<std::pair<int, int>> HeatBalance::coupled_pairs() const {
  std::vector<std::pair<int, int>> pairs;
  for (std::size_t f = 0; f < faces_.count(); ++f) pairs.emplace_back(faces_.a(f), faces_.b(f));
  for (std::size_t k = 0; k < network_.links.size(); ++k) {
    pairs.emplace_back(links_.a(k), links_.b(k));
  }
  for (std::size_t k = 0; k < network_.sources.size(); ++k) {
    pairs.emplace_back(links_.heated(k), -1);
  }
  return pairs;
}

void HeatBalance::conductances(std::vector<double>& by_pair) const {
  by_pair.resize(faces_.count() + links_.heat.size() + links_.source.size());
  const auto faces = static_cast<std::ptrdiff_t>(faces_.count());
  auto next = std::copy_n(faces_.conductance.begin(), faces, by_pair.begin());
  for (std::size_t k = 0; k < links_.heat.size(); ++k) {
    const LinkHeat& heat = links_.heat[k];
    *next++ = links_.b(k) < 0 ? heat.by_a : (heat.by_a - heat.by_b) / 2;
  }
  for (const SourceHeat& source : links_.source) *next++ = -source.by_temperature;
}

}  // namespace thawline::solver
