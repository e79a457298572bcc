#include "solver/heat/leftovers.hpp"

#include <algorithm>

#include "solver/at.hpp"

namespace thawline::solver {

std::vector<Leftover> leftovers_of(const mesh::Network& network, const LinkFlows& links) {
  std::vector<Leftover> all;
  std::vector<int> behind;
  for (const auto& hub : network.hubs) behind.push_back(hub.cell);
  for (const auto& face : network.faces) {
    if (face.hub >= 0) behind[at(face.hub)] = std::max(face.low, face.high);
  }
  for (int hub = 0; hub < static_cast<int>(network.hubs.size()); ++hub) {
    if (network.hubs[at(hub)].cell >= 0) continue;
    if (behind[at(hub)] >= 0) {
      all.push_back({hub, behind[at(hub)], 1});
      continue;
    }
    const std::size_t first = all.size();
    double area = 0;
    for (std::size_t k = 0; k < network.links.size(); ++k) {
      const mesh::Link& link = network.links[k];
      if (!links.in_force(k) || link.outside != mesh::Outside::none) continue;
      if (link.a != hub && link.b != hub) continue;
      const int cell = behind[at(link.a == hub ? link.b : link.a)];
      if (cell < 0 || link.area <= 0) continue;
      all.push_back({hub, cell, link.area});
      area += link.area;
    }
    for (std::size_t k = first; k < all.size(); ++k) all[k].share /= area;
    if (all.size() == first) all.push_back({hub, mesh::spread_cells(network), 1});
  }
  return all;
}

}  // namespace thawline::solver
