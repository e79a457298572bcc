#include <benchmark/benchmark.h>
#include <unistd.h>

#include <filesystem>
#include <string>

#include "solver/history/history_writer.hpp"
#include "solver/results/run_case.hpp"
#include "speed/bench_cases.hpp"

// What writing the history of a run costs: the gel box at the default output interval, with the
// fields, without them, and with no history. The file is made and finished anew in each run.

using namespace thawline;

namespace {

namespace fs = std::filesystem;

/// A folder of this process that goes with the object.
class TemporaryFolder {
 public:
  TemporaryFolder()
      : path_(fs::temp_directory_path() / ("thawline-histories-" + std::to_string(::getpid()))) {
    fs::create_directories(path_);
  }
  ~TemporaryFolder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  TemporaryFolder(TemporaryFolder&&) = delete;
  TemporaryFolder& operator=(TemporaryFolder&&) = delete;

  [[nodiscard]] std::string file(const std::string& name) const { return path_ / name; }

 private:
  fs::path path_;
};

/// The gel box as its file would be read without a line about its output.
cases::Case with_default_output() {
  const auto given = validation::gel_box();
  std::string text = given.text;
  const std::size_t begin = text.find("  output_every:");
  if (begin != std::string::npos) text.erase(begin, text.find('\n', begin) + 1 - begin);
  auto c = cases::read_case_text(given.file, text, validation::shelf());
  c.run.accuracy = given.run.accuracy;
  return c;
}

enum class Written { nothing, series, fields };

void run_written(benchmark::State& state, Written written) {
  auto c = with_default_output();
  c.run.fields = written == Written::fields;
  const auto network = mesh::build_network(c);
  const TemporaryFolder folder;
  const std::string file = folder.file("history.h5");
  for (auto _ : state) {
    if (written == Written::nothing) {
      benchmark::DoNotOptimize(solver::run_network(c, network, {}));
    } else {
      solver::history::HistoryWriter writer(file, c, network);
      writer.finish(solver::run_network(c, network, {&writer}));
    }
  }
  state.counters["output_every"] = c.run.output_every;
  state.counters["bytes"] =
      written == Written::nothing ? 0 : static_cast<double>(fs::file_size(file));
}

BENCHMARK_CAPTURE(run_written, nothing, Written::nothing)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(run_written, series, Written::series)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(run_written, fields, Written::fields)->Unit(benchmark::kMillisecond);

}  // namespace
