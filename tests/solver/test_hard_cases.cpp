#include <catch2/catch.hpp>
#include <filesystem>

#include "cases/read_case.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

// Cases that once could not be solved or took hours: cans of plain water in rings (the innermost
// ring ends at the axis, where it has no area), a front whose cell lost its heat of melting, and
// what is left over at the long-wave exchange given to one small parcel of air.

namespace {

cases::Case hard_case(const std::string& name) {
  const std::string root = THAWLINE_SOURCE_DIR;
  return cases::read_case(root + "/tests/solver/hard_cases/" + name + ".yaml",
                          cases::read_material_folder(root + "/cases/materials"));
}

/// The warmest and coldest cell or surface met in a run, K.
struct Extremes : solver::Watcher {
  double least = 1e9, most = 0;
  void at_instant(const solver::StepView& view) override { after_step(view); }
  void after_step(const solver::StepView& view) override {
    const auto meet = [&](double t) {
      // Written so that a value that is not a number is met too.
      if (!(t >= least)) least = t;
      if (!(t <= most)) most = t;
    };
    for (int i = 0; i < view.balance->cells(); ++i) {
      meet(view.balance->thermal_state(*view.to, i).temperature);
    }
    for (int h = 0; h < view.balance->hubs(); ++h) {
      if (view.balance->is_surface(h)) meet(view.to->surface[h]);
    }
  }
};

}  // namespace

TEST_CASE("cases that were hard to solve are solved", "[solver]") {
  struct Known {
    const char* name;
    int most_steps;
    double least, most;  ///< degC, of what is put in
  };
  const auto known = GENERATE(Known{"water-bottles-in-loose-ice", 500, -18, 22},
                              Known{"frozen-bottles-thaw", 600, -18, 30},
                              Known{"water-cans-in-cold-brine", 1000, -30, 43},
                              Known{"water-cans-in-eutectic-brine", 1000, -30, 45},
                              Known{"water-bottles-beside-plates", 1600, -30, 35},
                              Known{"block-freezes-and-thaws", 3500, -30, 30},
                              Known{"cans-in-conducting-air", 200, -25.7191, 20.8609});
  const auto c = hard_case(known.name);
  Extremes extremes;
  const auto result = solver::run_network(c, mesh::build_network(c), {&extremes});
  INFO(known.name << ": " << result.summary.stop_reason << ", " << result.summary.steps
                  << " steps, " << extremes.least - 273.15 << " to " << extremes.most - 273.15
                  << " degC");
  CHECK(result.summary.completed);
  CHECK(result.summary.closure <= 1e-9);
  CHECK(result.summary.steps <= known.most_steps);
  CHECK(extremes.least >= known.least + 273.15 - 0.1);
  CHECK(extremes.most <= known.most + 273.15 + 0.1);
}

TEST_CASE("a march that makes no way stops and says where", "[solver]") {
  const auto c = hard_case("frozen-bottles-thaw");
  solver::HeatBalance balance(mesh::build_network(c));
  solver::MarchOptions options;
  options.longest_step = 0.01;
  options.patience = 200;
  Extremes unused;
  const auto summary = solver::march(balance, solver::make_schedule(c), options, unused);
  CHECK_FALSE(summary.completed);
  CHECK(summary.steps + summary.rejected == options.patience);
  INFO(summary.stop_reason);
  CHECK(summary.stop_reason.find("200 attempted steps") != std::string::npos);
  CHECK(summary.stop_reason.find(" h; it is held up by cell ") != std::string::npos);
  CHECK(summary.stop_reason.find("degC") != std::string::npos);
}
