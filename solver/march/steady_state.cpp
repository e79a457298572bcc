#include "solver/march/steady_state.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/march/section_system.hpp"

namespace thawline::solver {

SteadyState steady_state(HeatBalance& balance, const Conditions& conditions, double tolerance,
                         LinearMethod method) {
  constexpr int most_iterations = 50;
  SteadyState found;
  found.state = balance.start_state();
  found.rates = balance.zero_rates();
  SectionSystem system(balance, method);
  const auto& network = balance.network();
  const int spread = mesh::spread_cells(network);
  Eigen::VectorXd cells(spread);
  Eigen::VectorXd hubs(balance.hubs());
  balance.place_fronts(found.state);
  // A step of no end: the heat capacities drop out.
  const double scale = std::numeric_limits<double>::max() / 1e200;
  for (; found.iterations < most_iterations; ++found.iterations) {
    system.evaluate(found.state, conditions, found.rates, scale);
    cells = scale * found.rates.cells.head(spread);
    for (int h = 0; h < balance.hubs(); ++h) {
      const int cell = network.hubs[static_cast<std::size_t>(h)].cell;
      hubs[h] = cell < 0 ? found.rates.surfaces[h] : scale * found.rates.cells[cell];
    }
    if (!system.solve(cells, hubs, 1e-8)) return found;
    double size = 0;
    const std::vector<double>& slope = balance.slopes();
    for (int i = 0; i < spread; ++i) {
      found.state.enthalpy[i] += cells[i];
      size = std::max(size, std::abs(cells[i] * slope[static_cast<std::size_t>(i)]));
    }
    for (int h = 0; h < balance.hubs(); ++h) {
      const int cell = network.hubs[static_cast<std::size_t>(h)].cell;
      (cell < 0 ? found.state.surface[h] : found.state.enthalpy[cell]) += hubs[h];
    }
    if (size <= tolerance) {
      found.found = true;
      balance.evaluate(found.state, conditions, found.rates, nullptr, 0);
      return found;
    }
  }
  return found;
}

}  // namespace thawline::solver
