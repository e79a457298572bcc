#include <omp.h>
#include <sys/resource.h>

#include <ctime>
#include <memory>

#include "cases/read_case.hpp"
#include "library_json.hpp"
#include "solver/history/history_writer.hpp"
#include "solver/results/run_case.hpp"

// Runs a section as the program does and prints as JSON where its time goes and what it took. Each
// part has its seconds of the clock and of the processor (of all threads).
//
//   section_run CASE.yaml MATERIALS FINENESS HOURS ACCURACY [HISTORY.h5]
//
// HOURS or ACCURACY (K) 0: as the case says. OMP_NUM_THREADS: threads.

using namespace thawline;
using validation::json;

namespace {

class Timer {
 public:
  /// Seconds since the last call, or since the timer was made.
  json lap() {
    const double wall = omp_get_wtime();
    const double processor = of_processor();
    json seconds{{"clock", wall - wall_}, {"processor", processor - processor_}};
    wall_ = wall;
    processor_ = processor;
    return seconds;
  }

 private:
  static double of_processor() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }
  double wall_ = omp_get_wtime();
  double processor_ = of_processor();
};

double peak_bytes() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return 1024.0 * static_cast<double>(usage.ru_maxrss);
}

}  // namespace

int main(int count, char** words) {
  if (count < 6) return 2;
  Timer timer;
  const auto shelf = cases::read_material_folder(words[2]);
  const json reading_materials = timer.lap();
  auto c = cases::read_case(words[1], shelf);
  c.run.detail = cases::Detail::two_d;
  c.run.section.fineness = std::stod(words[3]);
  c.run.section.most_cells = 5'000'000;
  if (std::stod(words[4]) > 0) c.run.duration = 3600 * std::stod(words[4]);
  if (std::stod(words[5]) > 0) c.run.accuracy = std::stod(words[5]);
  const json reading_case = timer.lap();
  const double before = peak_bytes();
  const mesh::Network network = mesh::build_network(c, {1});
  const json building = timer.lap();
  std::unique_ptr<solver::history::HistoryWriter> writer;
  if (count > 6) writer = std::make_unique<solver::history::HistoryWriter>(words[6], c, network);
  const json opening = timer.lap();
  const auto result =
      solver::run_network(c, network, writer ? solver::Watchers{writer.get()} : solver::Watchers{});
  const json march = timer.lap();
  if (writer && result.summary.completed) writer->finish(result);
  const json closing = timer.lap();
  const solver::Summary& summary = result.summary;
  json out{{"case", c.title},
           {"cells", network.grid.count},
           {"hours", c.run.duration / 3600},
           {"accuracy_K", c.run.accuracy},
           {"threads", omp_get_max_threads()},
           {"completed", summary.completed},
           {"stop_reason", summary.stop_reason},
           {"steps", summary.steps},
           {"rejected", summary.rejected},
           {"newton_iterations", summary.newton_iterations},
           {"linear_iterations", summary.linear_iterations},
           {"heat_in_J", summary.heat_in},
           {"stored_J", summary.stored},
           {"closure", summary.closure},
           {"bytes_a_cell", (peak_bytes() - before) / network.grid.count},
           {"reading_materials_s", reading_materials},
           {"reading_case_s", reading_case},
           {"building_s", building},
           {"opening_history_s", opening},
           {"march_s", march},
           {"closing_history_s", closing}};
  out["end_h"] = nullptr;
  if (!result.limits.empty() && result.limits.front().end_time >= 0) {
    out["end_h"] = result.limits.front().end_time / 3600;
  }
  std::cout << out << "\n";
}
