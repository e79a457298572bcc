#include <algorithm>
#include <cmath>

#include "cases/read_case.hpp"
#include "library_json.hpp"
#include "library_march.hpp"
#include "section_peer.hpp"

// Marches one section by the library and by SUNDIALS IDA with KLU at a row of tolerances, taking
// turns, and prints times (s of the processor) and errors as JSON. Reference: the library at an
// accuracy of 5e-4 K.
// Usage: section_work CASE.yaml MATERIALS FINENESS HOURS ROUNDS ACCURACIES TOLERANCES
// with the last two as lists like 0.2,0.05; an empty list is written "-".

using namespace thawline;
using validation::Answer;
using validation::farthest;
using validation::json;
using validation::Run;
using validation::seconds_of_this_thread;

namespace {

constexpr double output_every = 1800;  // s

std::vector<double> list(const std::string& text) {
  std::vector<double> values;
  if (text == "-") return values;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find(',', begin), text.size());
    values.push_back(std::stod(text.substr(begin, end - begin)));
    begin = end + 1;
  }
  return values;
}

}  // namespace

int main(int count, char** words) {
  if (count < 8) return 2;
  auto c = cases::read_case(words[1], cases::read_material_folder(words[2]));
  c.run.detail = cases::Detail::two_d;
  c.run.section.fineness = std::stod(words[3]);
  c.run.section.most_cells = 5'000'000;
  c.run.duration = 3600 * std::stod(words[4]);
  const validation::Problem problem = validation::problem_of(c, mesh::build_network(c, {1}));
  std::vector<Run> runs;
  for (const double t : list(words[6])) runs.push_back({"library", t, {}, {}});
  for (const double t : list(words[7])) runs.push_back({"IDA", t, {}, {}});
  for (int round = 0; round < std::stoi(words[5]); ++round) {
    for (auto& run : runs) {
      const double begin = seconds_of_this_thread();
      run.answer = run.solver == "library"
                       ? validation::by_library(problem, run.tolerance, output_every)
                       : validation::section_by_ida(problem, run.tolerance, output_every);
      run.seconds.push_back(seconds_of_this_thread() - begin);
    }
  }
  const Answer exact = validation::by_library(problem, 5e-4, output_every);
  json out{{"case", c.title},
           {"cells", problem.network.grid.count},
           {"unknowns", problem.network.cells.size() + problem.network.hubs.size()},
           {"hours", problem.schedule.duration / 3600},
           {"end_h", exact.end / 3600},
           {"runs", json::array()}};
  for (const auto& run : runs) {
    out["runs"].push_back({{"solver", run.solver},
                           {"tolerance_K", run.tolerance},
                           {"seconds", run.seconds},
                           {"steps", run.answer.steps},
                           {"attempts", run.answer.attempts},
                           {"iterations", run.answer.iterations},
                           {"evaluations", run.answer.evaluations},
                           {"end_h", run.answer.end / 3600},
                           {"hold_time_error", std::abs(run.answer.end / exact.end - 1)},
                           {"temperature_error_K", farthest(run.answer, exact)}});
  }
  std::cout << out << "\n";
}
