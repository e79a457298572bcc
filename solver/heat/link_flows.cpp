#include "solver/heat/link_flows.hpp"

#include "solver/at.hpp"
#include "solver/heat/covered_share.hpp"
#include "solver/heat/laws/link_law.hpp"
#include "solver/heat/neighbours.hpp"

namespace thawline::solver {

namespace {

void add(int unknown, double watt, Rates& rates) {
  const auto cells = static_cast<int>(rates.cells.size());
  (unknown < cells ? rates.cells[unknown] : rates.surfaces[unknown - cells]) += watt;
}

}  // namespace

LinkFlows::LinkFlows(const mesh::Network& network)
    : heat(network.links.size()),
      by_cover(network.links.size()),
      source(network.sources.size()),
      network_(network),
      in_force_(network.links.size(), 1),
      source_in_force_(network.sources.size(), 1) {
  for (const auto& link : network.links) {
    Ends ends{unknown_of_hub(network, link.a), -1, -1};
    if (link.outside == mesh::Outside::none) ends.b = unknown_of_hub(network, link.b);
    if (link.cover >= 0) ends.body = unknown_of_hub(network, network.covers[at(link.cover)].hub);
    ends_.push_back(ends);
  }
  for (const auto& s : network.sources) {
    heated_.push_back(s.hub < 0 ? s.cell : unknown_of_hub(network, s.hub));
  }
}

void LinkFlows::set_present(const std::vector<bool>& items) {
  const auto present = [&](int item) { return item < 0 || items[at(item)]; };
  for (std::size_t k = 0; k < ends_.size(); ++k) {
    const auto& link = network_.links[k];
    const bool in_the_way = link.unless >= 0 && present(link.unless);
    in_force_[k] = present(link.needs) && present(link.needs_too) && !in_the_way ? 1 : 0;
  }
  for (std::size_t k = 0; k < heated_.size(); ++k) {
    source_in_force_[k] = present(network_.sources[k].needs) ? 1 : 0;
  }
}

void LinkFlows::evaluate_link(std::size_t k, const CellStates& cells,
                              const Conditions& conditions) {
  const auto& link = network_.links[k];
  const Ends& ends = ends_[k];
  double b = 0;
  switch (link.outside) {
    case mesh::Outside::none:
      b = cells.temperature[at(ends.b)];
      break;
    case mesh::Outside::air:
      b = conditions.air;
      break;
    case mesh::Outside::ground:
      b = conditions.ground;
      break;
  }
  heat[k] = link_heat(link, cells.temperature[at(ends.a)], b, conditions);
  if (ends.body < 0) return;
  const auto body = at(ends.body);
  const CoveredShare share = covered_share(network_.covers[at(link.cover)], cells.fraction[body]);
  by_cover[k] = heat[k].q * share.slope * cells.fraction_slope[body];
  heat[k] = share.value * heat[k];
}

void LinkFlows::evaluate(const CellStates& cells, const Conditions& conditions, Rates& rates) {
  for (std::size_t k = 0; k < ends_.size(); ++k) {
    if (in_force_[k] == 0) {
      heat[k] = {};
      by_cover[k] = 0;
      continue;
    }
    evaluate_link(k, cells, conditions);
    add(ends_[k].a, -heat[k].q, rates);
    if (ends_[k].b >= 0) add(ends_[k].b, heat[k].q, rates);
    const int path = network_.links[k].path;
    if (path >= 0) rates.paths[path] -= heat[k].q;
  }
  for (std::size_t k = 0; k < heated_.size(); ++k) {
    source[k] = {};
    if (source_in_force_[k] == 0) continue;
    const auto& s = network_.sources[k];
    source[k] = source_heat(s, cells.temperature[at(heated_[k])], conditions);
    add(heated_[k], source[k].watt, rates);
    rates.paths[s.path] += source[k].watt;
  }
}

}  // namespace thawline::solver
