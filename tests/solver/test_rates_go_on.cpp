#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "cases/read_case.hpp"
#include "solver/march/march.hpp"

using namespace thawline;

namespace {

/// The largest jump of a cell's rate from one step's end to the next step's start, as the kelvins
/// it makes over the step, of cells that do not melt.
struct Jumps : solver::Watcher {
  void at_instant(const solver::StepView&) override { known = false; }
  void after_step(const solver::StepView& view) override {
    const solver::HeatBalance& balance = *view.balance;
    for (int i = 0; known && i < balance.cells(); ++i) {
      if (balance.curve(i).melts()) continue;
      const double kelvin = (view.from_rates->cells[i] - rates[i]) * (view.end - view.begin) /
                            (balance.mass(i) * balance.curve(i).heat_capacity());
      worst = std::max(worst, std::abs(kelvin));
    }
    rates = view.to_rates->cells;
    known = true;
  }
  Eigen::VectorXd rates;
  bool known = false;
  double worst = 0;
};

double worst_jump(const std::string& name) {
  const std::string root = THAWLINE_SOURCE_DIR;
  auto c = cases::read_case(root + "/cases/examples/" + name + ".yaml",
                            cases::read_material_folder(root + "/cases/materials"));
  c.run.detail = cases::Detail::two_d;
  c.run.accuracy = 0.05;
  const mesh::Network network = mesh::build_network(c, {1});
  solver::HeatBalance balance(network);
  solver::MarchOptions options;
  options.accuracy = c.run.accuracy;
  Jumps jumps;
  REQUIRE(solver::march(balance, solver::make_schedule(c), options, jumps).completed);
  return jumps.worst;
}

}  // namespace

// Output within a step is read off a curve with the rates of its ends. A stiff cell whose
// rate takes in what Newton left over would be off by kelvins there.
TEST_CASE("rates of stiff cells go on from step to step", "[solver][section]") {
  CHECK(worst_jump("thin-box") < 1e-9);
  CHECK(worst_jump("must-not-freeze") < 0.05);
}
