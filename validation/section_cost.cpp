// Cost of one Newton iteration of a section: evaluation and assembly, then factor and solve, by
// either linear method.
//
//   section_cost CASE.yaml MATERIALS FINENESS…      (OMP_NUM_THREADS sets the threads)

#include <omp.h>
#include <sys/resource.h>

#include <cstdio>
#include <cstdlib>
#include <ctime>

#include "cases/read_case.hpp"
#include "solver/linear/newton_system.hpp"
#include "solver/march/schedule.hpp"

using namespace thawline;

namespace {

constexpr double scale = 100;         // s, about the step of a stage
constexpr double tolerance = 1e-3;    // as Newton asks
constexpr int most_direct = 200'000;  // cells

/// Milliseconds: of the processor on one thread, so that other work on the machine does not count;
/// of the clock on more.
double now() {
  if (omp_get_max_threads() > 1) return 1e3 * omp_get_wtime();
  return 1e3 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

void measure(const cases::Case& c, solver::LinearMethod method) {
  const mesh::Network network = mesh::build_network(c);
  const bool direct = method == solver::LinearMethod::cholesky;
  if (direct && network.grid.count > most_direct) return;
  solver::HeatBalance balance(network);
  const auto conditions = solver::make_schedule(c).at(0, 0);
  const auto state = balance.start_state();
  auto rates = balance.zero_rates();
  const auto system = solver::make_newton_system(balance, method);
  const int repeats = network.grid.count > 100'000 ? 2 : 10;
  double evaluation = 0;
  double solution = 0;
  for (int k = 0; k <= repeats; ++k) {
    const double begin = now();
    balance.evaluate(state, conditions, rates);
    system->assemble(balance, scale);
    if (k > 0) evaluation += (now() - begin) / repeats;
    Eigen::VectorXd change(balance.cells() + balance.hubs());
    change << scale * rates.cells, rates.surfaces;
    const double middle = now();
    if (!system->solve(change, tolerance)) std::printf("stalled\n");
    if (k > 0) solution += (now() - middle) / repeats;  // the first one analyses the pattern
  }
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  std::printf(
      "%8d cells  %d threads  %-20s  evaluate %8.2f ms  solve %9.2f ms  %5.1f iterations  "
      "peak %6.0f B/cell\n",
      network.grid.count, omp_get_max_threads(), direct ? "Cholesky" : "conjugate gradients",
      evaluation, solution, static_cast<double>(system->iterations()) / (repeats + 1),
      1024.0 * static_cast<double>(usage.ru_maxrss) / network.grid.count);
  std::fflush(stdout);
}

}  // namespace

int main(int count, char** words) {
  if (count < 4) return 2;
  auto c = cases::read_case(words[1], cases::read_material_folder(words[2]));
  c.run.detail = cases::Detail::two_d;
  c.run.section.most_cells = 4'000'000;
  for (int i = 3; i < count; ++i) {
    c.run.section.fineness = std::atof(words[i]);
    measure(c, solver::LinearMethod::multigrid);
    measure(c, solver::LinearMethod::cholesky);
  }
  return 0;
}
