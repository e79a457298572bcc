#include <benchmark/benchmark.h>

#include <algorithm>
#include <vector>

#include "solver/linear/newton_system.hpp"
#include "solver/results/run_case.hpp"
#include "speed/bench_cases.hpp"

// Where the time of a case goes: by cells, by hours, by part of the work; and the processor's own
// limits to hold it against. Processor time of one thread.

using namespace thawline;
using validation::file_of;
using validation::gel_box;
using validation::shelf;
using validation::sources;

namespace {

struct Nobody : solver::Watcher {
  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView&) override {}
};

solver::Summary march(const cases::Case& c, const mesh::Network& network) {
  solver::HeatBalance balance(network);
  solver::MarchOptions options;
  options.accuracy = c.run.accuracy;
  Nobody nobody;
  return solver::march(balance, solver::make_schedule(c), options, nobody);
}

/// Cost against cells: the gel box with every cell cut into quarters of a half … 32 parts.
void by_cells(benchmark::State& state) {
  const auto c = gel_box();
  const auto network = mesh::build_network(c, {static_cast<double>(state.range(0)) / 4});
  solver::Summary summary;
  for (auto _ : state) summary = march(c, network);
  state.counters["cells"] = static_cast<double>(network.cells.size());
  int longest = 0;
  for (const auto& column : network.columns) longest = std::max(longest, column.count);
  state.counters["longest_column"] = longest;
  state.counters["iterations_of_newton"] = summary.newton_iterations;
  state.counters["steps"] = summary.steps;
}
BENCHMARK(by_cells)->RangeMultiplier(2)->Range(2, 256)->Unit(benchmark::kMillisecond);

/// Cost against duration: the loose ice in its daily wave.
void by_hours(benchmark::State& state) {
  auto c = cases::read_case(file_of("loose-ice"), shelf());
  c.run.duration = 3600.0 * static_cast<double>(state.range(0));
  const auto network = mesh::build_network(c);
  solver::Summary summary;
  for (auto _ : state) summary = march(c, network);
  state.counters["steps"] = summary.steps;
  state.counters["iterations_of_newton"] = summary.newton_iterations;
}
BENCHMARK(by_hours)->RangeMultiplier(2)->Range(24, 768)->Unit(benchmark::kMillisecond);

void read_materials(benchmark::State& state) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(cases::read_material_folder(sources() + "/cases/materials"));
  }
}
BENCHMARK(read_materials)->Unit(benchmark::kMillisecond);

void read_case(benchmark::State& state) {
  (void)shelf();
  for (auto _ : state) benchmark::DoNotOptimize(gel_box());
}
BENCHMARK(read_case)->Unit(benchmark::kMillisecond);

void build_network(benchmark::State& state) {
  const auto c = gel_box();
  for (auto _ : state) benchmark::DoNotOptimize(mesh::build_network(c));
}
BENCHMARK(build_network)->Unit(benchmark::kMillisecond);

void march_alone(benchmark::State& state) {
  const auto c = gel_box();
  const auto network = mesh::build_network(c);
  for (auto _ : state) benchmark::DoNotOptimize(march(c, network));
}
BENCHMARK(march_alone)->Unit(benchmark::kMillisecond);

void march_with_results(benchmark::State& state) {
  const auto c = gel_box();
  const auto network = mesh::build_network(c);
  for (auto _ : state) benchmark::DoNotOptimize(solver::run_network(c, network, {}));
}
BENCHMARK(march_with_results)->Unit(benchmark::kMillisecond);

/// One iteration of Newton, all of it: rates, Jacobian, factors, solve.
void newton_iteration(benchmark::State& state) {
  const auto c = gel_box();
  const auto network = mesh::build_network(c, {static_cast<double>(state.range(0)) / 4});
  solver::HeatBalance balance(network);
  const auto schedule = solver::make_schedule(c);
  const solver::State at = balance.start_state();
  solver::Rates rates = balance.zero_rates();
  const auto system = solver::make_newton_system(balance);
  Eigen::VectorXd change(balance.cells() + balance.hubs());
  for (auto _ : state) {
    balance.evaluate(at, schedule.at(0, 0), rates);
    system->assemble(balance, 60);
    change.setOnes();
    change.head(network.chain_cells) = rates.cells.head(network.chain_cells);
    benchmark::DoNotOptimize(system->solve(change, 0));
    benchmark::DoNotOptimize(change.data());
  }
  state.counters["cells"] = static_cast<double>(network.cells.size());
}
BENCHMARK(newton_iteration)->Arg(4)->Arg(64);

/// The limit of that work: one tridiagonal elimination of as many rows, whose every row waits for
/// the division of the row before.
void bare_tridiagonal(benchmark::State& state) {
  const auto n = static_cast<std::size_t>(state.range(0));
  const std::vector<double> lower(n, -1);
  const std::vector<double> diagonal(n, 4);
  const std::vector<double> upper(n, -1);
  std::vector<double> share(n);
  std::vector<double> x(n);
  for (auto _ : state) {
    double pivot = 1 / diagonal[0];
    share[0] = upper[0] * pivot;
    x[0] = pivot;
    for (std::size_t i = 1; i < n; ++i) {
      pivot = 1 / (diagonal[i] - lower[i] * share[i - 1]);
      share[i] = upper[i] * pivot;
      x[i] = (1 - lower[i] * x[i - 1]) * pivot;
    }
    for (std::size_t i = n - 1; i-- > 0;) x[i] -= share[i] * x[i + 1];
    benchmark::DoNotOptimize(x.data());
  }
}
BENCHMARK(bare_tridiagonal)->Arg(55)->Arg(821);

/// Memory: a = b + 3 c over arrays that fit the first cache, the second, and none.
void triad(benchmark::State& state) {
  const auto n = static_cast<std::size_t>(state.range(0));
  std::vector<double> a(n);
  const std::vector<double> b(n, 1);
  const std::vector<double> c(n, 2);
  for (auto _ : state) {
    for (std::size_t i = 0; i < n; ++i) a[i] = b[i] + 3 * c[i];
    benchmark::DoNotOptimize(a.data());
  }
  state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * n * 24));
}
BENCHMARK(triad)->Arg(1000)->Arg(16000)->Arg(8000000);

}  // namespace

BENCHMARK_MAIN();
