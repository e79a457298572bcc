#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "cases/read_case.hpp"
#include "solver/march/march.hpp"
#include "solver/results/probes.hpp"
#include "support/one_column.hpp"

using namespace thawline;

namespace {

/// Enthalpies at every `pieces`-th part of every step, the start first.
struct Pieces : solver::Watcher {
  explicit Pieces(int count) : pieces(count) {}
  void at_instant(const solver::StepView& view) override { seen = {view.to->enthalpy}; }
  void after_step(const solver::StepView& view) override {
    for (int p = 1; p <= pieces; ++p) {
      const double time = view.begin + (view.end - view.begin) * p / pieces;
      Eigen::VectorXd enthalpy(view.to->enthalpy.size());
      for (int i = 0; i < enthalpy.size(); ++i) enthalpy[i] = view.enthalpy(i, time);
      seen.push_back(enthalpy);
    }
  }
  int pieces;
  std::vector<Eigen::VectorXd> seen;
};

/// The slab under half a daily wave, over steps of one length.
std::vector<Eigen::VectorXd> wave(int steps, int pieces) {
  const solver::Schedule schedule = test::half_a_daily_wave();
  solver::HeatBalance balance(test::wet_slab());
  solver::MarchOptions options;
  options.accuracy = 1e-6;
  options.longest_step = 1e9;
  options.fixed_step = schedule.duration / steps;
  Pieces watcher(pieces);
  REQUIRE(solver::march(balance, schedule, options, watcher).completed);
  return watcher.seen;
}

/// What all cells have gained less what came in along all paths, J, at its worst within steps.
struct Unbalanced : solver::Watcher {
  void at_instant(const solver::StepView& view) override {
    start = view.to->enthalpy.sum() - view.heat_after->sum() - view.moved;
  }
  void after_step(const solver::StepView& view) override {
    for (int p = 1; p < 10; ++p) {
      const double time = view.begin + (view.end - view.begin) * p / 10;
      double stored = 0;
      double heat = 0;
      for (int i = 0; i < view.to->enthalpy.size(); ++i) stored += view.enthalpy(i, time);
      for (int i = 0; i < view.heat_after->size(); ++i) heat += view.heat(i, time);
      worst = std::max(worst, std::abs(stored - heat - view.moved - start));
    }
    exchanged = std::max(exchanged, view.heat_after->cwiseAbs().sum());
  }
  double start = 0, worst = 0, exchanged = 0;
};

/// A probe's temperature at whole minutes, K.
struct Minutes : solver::Watcher {
  explicit Minutes(const mesh::Probe& watched) : probe(watched) {}
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    for (; 60.0 * next <= view.end; ++next) {
      seen.push_back(solver::probe_temperature(view, probe, 60.0 * next));
    }
  }
  const mesh::Probe& probe;
  int next = 1;
  std::vector<double> seen;
};

cases::Case gel_box() {
  const std::string root = THAWLINE_SOURCE_DIR;
  return cases::read_case(root + "/validation/cases/gel-box.yaml",
                          cases::read_material_folder(root + "/cases/materials"));
}

std::vector<double> by_the_minute(const cases::Case& c, const mesh::Network& network,
                                  const std::string& name, double accuracy) {
  const auto probe = std::find_if(network.probes.begin(), network.probes.end(),
                                  [&](const mesh::Probe& p) { return p.name == name; });
  REQUIRE(probe != network.probes.end());
  solver::HeatBalance balance(network);
  solver::MarchOptions options;
  options.accuracy = accuracy;
  Minutes minutes(*probe);
  REQUIRE(solver::march(balance, solver::make_schedule(c), options, minutes).completed);
  return minutes.seen;
}

}  // namespace

TEST_CASE("output within steps is of second order too", "[solver]") {
  constexpr int finest = 4096;
  constexpr int pieces = 8;
  const auto exact = wave(finest, 1);
  std::vector<double> errors;
  for (const int steps : {32, 64, 128}) {
    const auto seen = wave(steps, pieces);
    double error = 0;
    // From a quarter of the time on: the start jumps to its films' temperatures.
    for (std::size_t i = seen.size() / 4; i < seen.size(); ++i) {
      const std::size_t there = i * static_cast<std::size_t>(finest / (steps * pieces));
      error = std::max(error, (seen[i] - exact[there]).norm());
    }
    errors.push_back(error);
  }
  for (std::size_t i = 1; i < errors.size(); ++i) {
    INFO("halving " << i);
    CHECK(std::log2(errors[i - 1] / errors[i]) >= 1.9);
  }
}

TEST_CASE("what is stored and what came in agree within steps", "[solver]") {
  const cases::Case c = gel_box();
  const mesh::Network network = mesh::build_network(c, {1});
  solver::HeatBalance balance(network);
  Unbalanced unbalanced;
  REQUIRE(solver::march(balance, solver::make_schedule(c), {}, unbalanced).completed);
  CHECK(unbalanced.worst < 1e-9 * unbalanced.exchanged);
}

// A cubic through the ends of the steps was 0.15 K off for some minutes at an accuracy of 0.05 K,
// as the middle of the gel left its melt within a long step. Surfaces, drawn straight between
// steps, may miss a hundredth of a kelvin by a little.
TEST_CASE("a pack that melts out is shown as exactly as asked between steps", "[solver]") {
  const cases::Case c = gel_box();
  const mesh::Network network = mesh::build_network(c, {1});
  for (const auto& [name, finest] :
       {std::pair{"gel", 0.01}, {"gel core", 0.01}, {"gel surface", 0.02}}) {
    const auto fine = by_the_minute(c, network, name, 1e-3);
    for (const double accuracy : {0.05, 0.02, 0.01}) {
      if (accuracy < finest) continue;
      const auto seen = by_the_minute(c, network, name, accuracy);
      REQUIRE(seen.size() == fine.size());
      double worst = 0;
      for (std::size_t i = 0; i < seen.size(); ++i) {
        worst = std::max(worst, std::abs(seen[i] - fine[i]));
      }
      INFO(name << " asked " << accuracy);
      CHECK(worst < accuracy);
    }
  }
}
