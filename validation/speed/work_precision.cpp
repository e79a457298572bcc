#include <algorithm>
#include <cmath>
#include <iostream>
#include <stdexcept>

#include "cases/read_case.hpp"
#include "library_json.hpp"
#include "library_march.hpp"
#include "peer_integrators.hpp"
#include "processor_time.hpp"

// Marches the same cells and links by the library and by SUNDIALS CVODE and IDA at a row of
// tolerances, round after round so that all see the same machine, and prints times (s) and errors
// as JSON. Usage: work_precision MATERIAL_FOLDER ROUNDS CASE.yaml...

using namespace thawline;
using validation::Answer;
using validation::farthest;
using validation::json;
using validation::Run;
using validation::seconds_of_this_thread;

namespace {

constexpr double output_every = 1800;  // s

/// An answer that is not `completed` where an integrator gives up.
Answer march(const validation::Problem& problem, const std::string& solver, double tolerance) try {
  if (solver == "library") return validation::by_library(problem, tolerance, output_every);
  validation::PeerSettings settings;
  settings.tolerance = tolerance;
  settings.output_every = output_every;
  if (solver == "CVODE") return validation::by_cvode(problem, settings);
  return validation::by_ida(problem, settings);
} catch (const std::runtime_error& gave_up) {
  Answer none;
  none.gave_up = gave_up.what();
  return none;
}

}  // namespace

int main(int count, char** arguments) {
  const auto shelf = cases::read_material_folder(arguments[1]);
  const int rounds = std::stoi(arguments[2]);
  json out = json::array();
  for (int k = 3; k < count; ++k) {
    const auto c = cases::read_case(arguments[k], shelf);
    const validation::Problem problem = validation::problem_of(c, mesh::build_network(c, {1}));
    std::vector<Run> runs;
    for (const double t : {2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005}) {
      runs.push_back({"library", t, {}, {}});
    }
    for (const double t : {1.0, 0.3, 0.1, 0.03, 0.01, 3e-3, 1e-3, 3e-4, 1e-4}) {
      runs.push_back({"CVODE", t, {}, {}});
      runs.push_back({"IDA", t, {}, {}});
    }
    for (int round = 0; round < rounds; ++round) {
      for (auto& run : runs) {
        const double begin = seconds_of_this_thread();
        run.answer = march(problem, run.solver, run.tolerance);
        run.seconds.push_back(seconds_of_this_thread() - begin);
      }
    }
    const Answer exact = march(problem, "IDA", 1e-7);
    json box{{"case", c.title},
             {"cells", problem.network.cells.size()},
             {"hubs", problem.network.hubs.size()},
             {"hours", problem.schedule.duration / 3600},
             {"end_h", exact.end / 3600},
             {"runs", json::array()}};
    for (const auto& run : runs) {
      const bool whole = run.answer.completed && run.answer.end > 0 &&
                         run.answer.temperatures.size() == exact.temperatures.size();
      json row{{"solver", run.solver},
               {"tolerance_K", run.tolerance},
               {"seconds", run.seconds},
               {"steps", run.answer.steps},
               {"attempts", run.answer.attempts},
               {"iterations", run.answer.iterations},
               {"evaluations", run.answer.evaluations},
               {"completed", whole}};
      if (whole) {
        row["hold_time_error"] = std::abs(run.answer.end / exact.end - 1);
        row["temperature_error_K"] = farthest(run.answer, exact);
      }
      box["runs"].push_back(row);
    }
    out.push_back(box);
  }
  std::cout << out << "\n";
}
