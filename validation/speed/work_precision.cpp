#include <algorithm>
#include <cmath>
#include <ctime>

#include "cases/read_case.hpp"
#include "library_json.hpp"
#include "peer_integrators.hpp"

// Marches the same cells and links by the library and by SUNDIALS CVODE and IDA at a row of
// tolerances, round after round so that all see the same machine, and prints times (s) and errors
// as JSON. Usage: work_precision MATERIAL_FOLDER ROUNDS CASE.yaml...

using namespace thawline;
using validation::Answer;
using validation::json;

namespace {

constexpr double output_every = 1800;  // s

/// Probes at every output and the end of the first limit, as a user of the library would take them.
class Sampler : public solver::Watcher {
 public:
  Sampler(const validation::Watched& watched, double duration)
      : watched_(watched), duration_(duration) {}

  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    const auto value = [&](double time) {
      return solver::probe_temperature(view, watched_.limited, time) - watched_.limit;
    };
    if (answer.end < 0 && value(view.begin) < 0 && value(view.end) >= 0) {
      answer.end = solver::crossing(value, view.begin, view.end);
    }
    for (; next_ <= view.end * (1 + 1e-12) && next_ <= duration_; next_ += output_every) {
      for (const auto& probe : watched_.probes) {
        answer.temperatures.push_back(
            solver::probe_temperature(view, probe, std::min(next_, view.end)));
      }
    }
  }

  Answer answer;

 private:
  const validation::Watched& watched_;
  double duration_;
  double next_ = output_every;
};

Answer by_library(const validation::Problem& problem, double accuracy) {
  solver::HeatBalance balance(problem.network);
  solver::MarchOptions options;
  options.accuracy = accuracy;
  Sampler sampler(problem.watched, problem.schedule.duration);
  const auto summary = solver::march(balance, problem.schedule, options, sampler);
  sampler.answer.completed = summary.completed;
  sampler.answer.steps = summary.steps;
  sampler.answer.attempts = summary.steps + summary.rejected;
  sampler.answer.iterations = summary.newton_iterations;
  return sampler.answer;
}

double farthest(const Answer& a, const Answer& b) {
  double most = 0;
  for (std::size_t i = 0; i < a.temperatures.size(); ++i) {
    most = std::max(most, std::abs(a.temperatures[i] - b.temperatures[i]));
  }
  return most;
}

/// Time that the processor gave to this thread: what else runs on the machine does not count.
double seconds_of_this_thread() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

struct Run {
  std::string solver;
  double tolerance = 0;
  std::vector<double> seconds;
  Answer answer;
};

Answer march(const validation::Problem& problem, const std::string& solver, double tolerance) {
  if (solver == "library") return by_library(problem, tolerance);
  if (solver == "CVODE") return validation::by_cvode(problem, tolerance, output_every);
  return validation::by_ida(problem, tolerance, output_every);
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
    const Answer exact = validation::by_ida(problem, 1e-7, output_every);
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
