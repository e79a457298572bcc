#include "solver/march/steady_state.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/linear/newton_system.hpp"

namespace thawline::solver {

SteadyState steady_state(HeatBalance& balance, const Conditions& conditions, double tolerance,
                         LinearMethod method) {
  constexpr int most_iterations = 50;
  SteadyState found;
  found.state = balance.start_state();
  found.rates = balance.zero_rates();
  const auto system = make_newton_system(balance, method);
  const int cells = balance.cells();
  Eigen::VectorXd change = Eigen::VectorXd::Zero(cells + balance.hubs());
  balance.place_fronts(found.state);
  // A step of no end: the heat capacities drop out.
  const double scale = std::numeric_limits<double>::max() / 1e200;
  for (; found.iterations < most_iterations; ++found.iterations) {
    balance.evaluate(found.state, conditions, found.rates);
    system->assemble(balance, scale);
    change.head(cells) = scale * found.rates.cells;
    change.tail(balance.hubs()) = found.rates.surfaces;
    if (!system->solve(change, 1e-8)) return found;
    const std::vector<double>& slope = balance.cell_states().slope;
    double size = 0;
    for (int i = 0; i < cells; ++i) {
      found.state.enthalpy[i] += change[i];
      size = std::max(size, std::abs(change[i] * slope[static_cast<std::size_t>(i)]));
    }
    for (int h = 0; h < balance.hubs(); ++h) {
      if (balance.is_surface(h)) found.state.surface[h] += change[cells + h];
    }
    if (size <= tolerance) {
      found.found = true;
      balance.evaluate(found.state, conditions, found.rates);
      return found;
    }
  }
  return found;
}

}  // namespace thawline::solver
