#include "speed/lane_states.hpp"

#include <numbers>

#include "solver/march/march.hpp"

namespace thawline::validation {

namespace {

struct Catcher : solver::Watcher {
  explicit Catcher(double time) : at(time) {}
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    if (step > 0 || view.end < at) return;
    step = view.end - view.begin;
    state = *view.to;
    conditions = view.conditions;
  }
  double at;        ///< s
  double step = 0;  ///< s
  solver::State state;
  solver::Conditions conditions;
};

}  // namespace

AmidMarch amid_march(const cases::Case& c, double time) {
  constexpr double stage_share = 1 - std::numbers::sqrt2 / 2;  // of a step, in the stage's matrix
  solver::HeatBalance balance(mesh::build_network(c));
  solver::MarchOptions options;
  options.accuracy = c.run.accuracy;
  Catcher catcher(time);
  (void)solver::march(balance, solver::make_schedule(c), options, catcher);
  AmidMarch amid{balance, catcher.state, balance.make_system(), {}, {}};
  auto rates = balance.zero_rates();
  const double scale = stage_share * catcher.step;
  amid.balance.place_fronts(amid.state);
  amid.balance.evaluate(amid.state, catcher.conditions, rates, &amid.system, scale);
  amid.cells = scale * rates.cells.head(balance.network().chain_cells);
  amid.hubs = rates.surfaces;
  for (int hub = 0; hub < balance.hubs(); ++hub) {
    const int cell = balance.network().hubs[static_cast<std::size_t>(hub)].cell;
    amid.hubs[hub] = cell >= 0 ? scale * rates.cells[cell] : 1;
  }
  return amid;
}

}  // namespace thawline::validation
