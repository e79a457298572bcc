#include "section_peer.hpp"

#include <ida/ida.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include <algorithm>
#include <stdexcept>

namespace thawline::validation {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

void check(int flag, const char* what) {
  if (flag < 0) throw std::runtime_error(std::string("SUNDIALS: ") + what);
}

/// The columns of the Jacobian, and where each pair's four entries lie in them.
struct Pattern {
  Pattern(int unknowns, const std::vector<std::pair<int, int>>& pairs) : rows(at(unknowns)) {
    for (int i = 0; i < unknowns; ++i) rows[at(i)].push_back(i);
    for (const auto& [a, b] : pairs) {
      if (b < 0) continue;
      rows[at(a)].push_back(b);
      rows[at(b)].push_back(a);
    }
    start.push_back(0);
    for (auto& column : rows) {
      std::sort(column.begin(), column.end());
      column.erase(std::unique(column.begin(), column.end()), column.end());
      start.push_back(start.back() + static_cast<sunindextype>(column.size()));
    }
    for (const auto& [a, b] : pairs) {
      entries.push_back({place(a, a), b < 0 ? -1 : place(b, a), b < 0 ? -1 : place(a, b),
                         b < 0 ? -1 : place(b, b)});
    }
    for (int i = 0; i < unknowns; ++i) diagonal.push_back(place(i, i));
  }

  [[nodiscard]] sunindextype place(int row, int column) const {
    const auto& in = rows[at(column)];
    return start[at(column)] + (std::lower_bound(in.begin(), in.end(), row) - in.begin());
  }

  struct Entry {
    sunindextype aa, ba, ab, bb;  ///< row, then column
  };
  std::vector<std::vector<int>> rows;  ///< by column
  std::vector<sunindextype> start, diagonal;
  std::vector<Entry> entries;
};

struct System {
  explicit System(const Problem& p)
      : problem(&p),
        balance(p.network),
        stepper(balance, p.schedule, 1e-6),
        state(balance.start_state()),
        rates(balance.zero_rates()),
        pairs(balance.coupled_pairs()),
        pattern(balance.cells() + balance.hubs(), pairs) {
    for (const auto& column : p.network.columns) {
      first_face += at(column.count - 1) + (column.inner_hub >= 0 ? 1U : 0U) +
                    (column.outer_hub >= 0 ? 1U : 0U);
    }
    if (!stepper.balance_surfaces(conditions(0), state, rates)) {
      throw std::runtime_error("surfaces at the start");
    }
  }

  [[nodiscard]] int cells() const { return balance.cells(); }
  [[nodiscard]] solver::Conditions conditions(double time) const {
    return problem->schedule.at(time, 0);
  }
  [[nodiscard]] double capacity(int cell) const {
    return balance.mass(cell) * balance.curve(cell).heat_capacity();
  }
  void take(const double* y) {
    std::copy(y, y + cells(), state.enthalpy.data());
    std::copy(y + cells(), y + cells() + balance.hubs(), state.surface.data());
  }
  [[nodiscard]] double temperature(const mesh::Probe& probe, const double* y) const {
    const auto cell = [&](int i) { return balance.thermal_state(y[i], i).temperature; };
    if (probe.cells.empty()) {
      const int c = problem->network.hubs[at(probe.hub)].cell;
      return c < 0 ? y[cells() + probe.hub] : cell(c);
    }
    double sum = 0;
    for (std::size_t i = 0; i < probe.cells.size(); ++i) {
      sum += probe.weights[i] * cell(probe.cells[i]);
    }
    return sum;
  }

  const Problem* problem;
  solver::HeatBalance balance;
  solver::Stepper stepper;
  solver::State state;
  solver::Rates rates;
  std::vector<std::pair<int, int>> pairs;
  Pattern pattern;
  std::size_t first_face = 0;  ///< among the pairs
  std::vector<double> couplings;
  long evaluations = 0;
};

System& system_of(void* data) { return *static_cast<System*>(data); }

int residual(double time, N_Vector y, N_Vector slope, N_Vector out, void* data) {
  System& system = system_of(data);
  const double* v = N_VGetArrayPointer(y);
  const double* dv = N_VGetArrayPointer(slope);
  double* r = N_VGetArrayPointer(out);
  const int n = system.cells();
  system.take(v);
  ++system.evaluations;
  system.balance.place_fronts(system.state);
  system.balance.evaluate(system.state, system.conditions(time), system.rates, nullptr, 0);
  for (int i = 0; i < n; ++i) r[i] = dv[i] - system.rates.cells[i];
  for (int h = 0; h < system.balance.hubs(); ++h) {
    // Lumped hubs are cells; their place among the surfaces is idle.
    r[n + h] = system.balance.is_surface(h) ? -system.rates.surfaces[h] : v[n + h] - 273.15;
  }
  return 0;
}

int jacobian(double time, double cj, N_Vector y, N_Vector, N_Vector, SUNMatrix matrix, void* data,
             N_Vector, N_Vector, N_Vector) {
  System& system = system_of(data);
  system.take(N_VGetArrayPointer(y));
  system.balance.evaluate(system.state, system.conditions(time), system.rates, system.couplings);
  const Pattern& pattern = system.pattern;
  std::copy(pattern.start.begin(), pattern.start.end(), SUNSparseMatrix_IndexPointers(matrix));
  sunindextype* rows = SUNSparseMatrix_IndexValues(matrix);
  for (const auto& column : pattern.rows) rows = std::copy(column.begin(), column.end(), rows);
  double* values = SUNSparseMatrix_Data(matrix);
  std::fill(values, values + pattern.start.back(), 0.0);
  const int n = system.cells();
  for (int i = 0; i < n; ++i) values[pattern.diagonal[at(i)]] = cj;
  for (int h = 0; h < system.balance.hubs(); ++h) {
    if (!system.balance.is_surface(h)) values[pattern.diagonal[at(n + h)]] = 1;
  }
  // What leaves a, by the unknown of a and by that of b.
  const auto add = [&](std::size_t pair, double by_a, double by_b) {
    const auto& entry = pattern.entries[pair];
    values[entry.aa] += by_a;
    if (entry.ba < 0) return;
    values[entry.ba] -= by_a;
    values[entry.ab] += by_b;
    values[entry.bb] -= by_b;
  };
  const auto& slopes = system.balance.slopes();
  const auto slope = [&](int unknown) { return unknown < n ? slopes[at(unknown)] : 1.0; };
  for (std::size_t k = 0; k < system.pairs.size(); ++k) {
    const auto [a, b] = system.pairs[k];
    const double g = system.couplings[k];
    if (a != b) add(k, g * slope(a), b < 0 ? 0 : -g * slope(b));
  }
  const auto& heat = system.balance.grid_heat();
  const auto& faces = system.problem->network.grid.faces;
  for (std::size_t f = 0; f < faces.size(); ++f) {
    add(system.first_face + f, faces[f].low >= 0 ? heat.by_low[f] : 0,
        faces[f].high >= 0 ? heat.by_high[f] : 0);
  }
  return 0;
}

int past_limit(double, N_Vector y, N_Vector, double* out, void* data) {
  const System& system = system_of(data);
  out[0] = system.temperature(system.problem->watched.limited, N_VGetArrayPointer(y)) -
           system.problem->watched.limit;
  return 0;
}

}  // namespace

Answer section_by_ida(const Problem& problem, double tolerance, double output_every) {
  System system(problem);
  Answer answer;
  SUNContext context = nullptr;
  check(SUNContext_Create(nullptr, &context), "context");
  const int cells = system.cells();
  const int n = cells + system.balance.hubs();
  N_Vector y = N_VNew_Serial(n, context);
  N_Vector slope = N_VNew_Serial(n, context);
  N_Vector kind = N_VNew_Serial(n, context);
  N_Vector absolute = N_VNew_Serial(n, context);
  for (int i = 0; i < n; ++i) {
    const int hub = i - cells;
    N_VGetArrayPointer(y)[i] = i < cells                        ? system.state.enthalpy[i]
                               : system.balance.is_surface(hub) ? system.state.surface[hub]
                                                                : 273.15;
    N_VGetArrayPointer(slope)[i] = i < cells ? system.rates.cells[i] : 0;
    N_VGetArrayPointer(kind)[i] = i < cells ? 1 : 0;
    N_VGetArrayPointer(absolute)[i] = tolerance * (i < cells ? system.capacity(i) : 1);
  }
  void* ida = IDACreate(context);
  SUNMatrix matrix = SUNSparseMatrix(n, n, system.pattern.start.back(), CSC_MAT, context);
  SUNLinearSolver solver = SUNLinSol_KLU(y, matrix, context);
  check(IDAInit(ida, residual, 0, y, slope), "init");
  check(IDASVtolerances(ida, 1e-12, absolute), "tolerances");
  check(IDASetUserData(ida, &system), "data");
  check(IDASetMaxNumSteps(ida, 5000000), "steps");
  check(IDASetId(ida, kind), "kind");
  check(IDASetSuppressAlg(ida, SUNTRUE), "surfaces out of the error test");
  check(IDASetLinearSolver(ida, solver, matrix), "linear solver");
  check(IDASetJacFn(ida, jacobian), "matrix");
  check(IDARootInit(ida, 1, past_limit), "root");
  int upward = 1;
  check(IDASetRootDirection(ida, &upward), "root direction");
  check(IDACalcIC(ida, IDA_YA_YDP_INIT, 1e-3), "start");
  const double duration = problem.schedule.duration;
  const int outputs = static_cast<int>(duration / output_every + 0.5);
  for (int i = 1; i <= outputs; ++i) {
    double time = 0;
    while (true) {
      const int flag =
          IDASolve(ida, i == outputs ? duration : i * output_every, &time, y, slope, IDA_NORMAL);
      check(flag, "march");
      if (flag != IDA_ROOT_RETURN) break;
      if (answer.end < 0) answer.end = time;
      check(IDARootInit(ida, 0, nullptr), "only the first crossing counts");
    }
    for (const auto& probe : problem.watched.probes) {
      answer.temperatures.push_back(system.temperature(probe, N_VGetArrayPointer(y)));
    }
  }
  answer.completed = true;
  answer.evaluations = system.evaluations;
  IDAGetNumSteps(ida, &answer.steps);
  IDAGetNumNonlinSolvIters(ida, &answer.iterations);
  answer.attempts = answer.steps;
  IDAFree(&ida);
  SUNLinSolFree(solver);
  SUNMatDestroy(matrix);
  for (N_Vector vector : {y, slope, kind, absolute}) N_VDestroy(vector);
  SUNContext_Free(&context);
  return answer;
}

}  // namespace thawline::validation
