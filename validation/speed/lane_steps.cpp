#include <algorithm>
#include <cmath>
#include <iostream>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "cases/read_case.hpp"
#include "solver/march/march.hpp"
#include "speed/lockstep.hpp"
#include "speed/sweeps.hpp"

// What neighbouring cases of a sweep lose when they march in lockstep: steps and iterations of
// groups of 2, 4 and 8 over those of a case alone, as JSON. Counts only, no time. Usage: lane_steps
// MATERIAL_FOLDER CASE.yaml

using namespace thawline;
using nlohmann::json;
using validation::LockstepMarch;

namespace {

constexpr int neighbours = 32;

/// The steps that the library's march takes.
struct Recorder : solver::Watcher {
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override { ends.push_back(view.end); }
  std::vector<double> ends;  ///< s
};

/// What is known of a case alone.
struct Alone {
  std::size_t cells = 0;
  int steps = 0, iterations = 0;
  std::vector<double> ends;  ///< s
};

Alone march_alone(const cases::Case& c) {
  const auto network = mesh::build_network(c);
  solver::HeatBalance balance(network);
  solver::MarchOptions options;
  options.accuracy = c.run.accuracy;
  Recorder recorder;
  const auto summary = solver::march(balance, solver::make_schedule(c), options, recorder);
  return {network.cells.size(), summary.steps, summary.newton_iterations, recorder.ends};
}

bool same_steps(const Alone& alone, const LockstepMarch& march) {
  return std::equal(
      alone.ends.begin(), alone.ends.end(), march.steps.begin(), march.steps.end(),
      [](double end, const auto& step) { return std::abs(end / step.end - 1) < 1e-9; });
}

/// Ratios of a group to the mean of its members alone.
struct Loss {
  double least_steps = 0;  ///< by the steps of the members alone
  double steps = 0, iterations = 0;
  double own_steps_iterations = 0;  ///< each member on its own steps: the most iterations of any
  double cells = 0;                 ///< of the largest member: lanes of the others run empty
};

Loss loss_of(std::span<const cases::Case> group, std::span<const Alone> alone,
             std::span<const LockstepMarch> marches) {
  const auto n = static_cast<double>(group.size());
  double steps = 0;
  double iterations = 0;
  double cells = 0;
  int most_iterations = 0;
  std::size_t most_cells = 0;
  for (std::size_t i = 0; i < group.size(); ++i) {
    steps += alone[i].steps / n;
    iterations += alone[i].iterations / n;
    cells += static_cast<double>(alone[i].cells) / n;
    most_iterations = std::max(most_iterations, alone[i].iterations);
    most_cells = std::max(most_cells, alone[i].cells);
  }
  const auto together = validation::march_in_lockstep(group);
  if (!together.completed) throw std::runtime_error("a lockstep did not reach its end");
  return {validation::least_steps(marches) / steps,
          static_cast<double>(together.steps.size()) / steps,
          static_cast<double>(together.iterations) / iterations, most_iterations / iterations,
          static_cast<double>(most_cells) / cells};
}

json losses_of(const validation::Sweep& sweep) {
  std::vector<Alone> alone;
  std::vector<LockstepMarch> marches;
  int same = 0;
  double steps = 0;
  double iterations = 0;
  for (const auto& c : sweep.cases) {
    alone.push_back(march_alone(c));
    marches.push_back(validation::march_in_lockstep({&c, 1}));
    same += same_steps(alone.back(), marches.back()) ? 1 : 0;
    steps += alone.back().steps / static_cast<double>(sweep.cases.size());
    iterations += alone.back().iterations / static_cast<double>(sweep.cases.size());
  }
  json out{{"sweep", sweep.name},      {"cases", sweep.cases.size()}, {"steps", steps},
           {"iterations", iterations}, {"same_steps", same},          {"groups", json::array()}};
  for (const std::size_t lanes : {2U, 4U, 8U}) {
    Loss mean;
    const std::size_t groups = sweep.cases.size() / lanes;
    for (std::size_t g = 0; g < groups; ++g) {
      const auto part = [&](const auto& all) { return std::span(all).subspan(g * lanes, lanes); };
      const Loss loss = loss_of(part(sweep.cases), part(alone), part(marches));
      for (const auto ratio : {&Loss::least_steps, &Loss::steps, &Loss::iterations,
                               &Loss::own_steps_iterations, &Loss::cells}) {
        mean.*ratio += loss.*ratio / static_cast<double>(groups);
      }
    }
    out["groups"].push_back({{"lanes", lanes},
                             {"least_steps", mean.least_steps},
                             {"steps", mean.steps},
                             {"iterations", mean.iterations},
                             {"own_steps_iterations", mean.own_steps_iterations},
                             {"cells", mean.cells}});
  }
  return out;
}

}  // namespace

int main(int count, char** words) {
  if (count < 3) return 2;
  const auto box = cases::read_case(words[2], cases::read_material_folder(words[1]));
  std::cout << json{losses_of(validation::foam_sweep(box, neighbours)),
                    losses_of(validation::coolant_sweep(box, neighbours))}
            << "\n";
}
