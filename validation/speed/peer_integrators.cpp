#include "peer_integrators.hpp"

#include <cvode/cvode.h>
#include <ida/ida.h>
#include <nvector/nvector_serial.h>

#include <memory>
#include <stdexcept>

namespace thawline::validation {

namespace {

void check(int flag, const char* what) {
  if (flag < 0) throw std::runtime_error(std::string("SUNDIALS: ") + what);
}

/// State and matrix of one march, shared by the callbacks.
struct System {
  explicit System(const Problem& p)
      : problem(&p),
        balance(p.network),
        stepper(balance, p.schedule, 1e-6),
        state(balance.start_state()),
        rates(balance.zero_rates()),
        matrix(balance.make_system()),
        cell_part(p.network.chain_cells),
        hub_part(balance.hubs()) {
    stepper.balance_surfaces(conditions(0), state, rates);
  }

  [[nodiscard]] int cells() const { return balance.cells(); }
  [[nodiscard]] solver::Conditions conditions(double time) const {
    return problem->schedule.at(time, 0);
  }
  [[nodiscard]] double capacity(int cell) const {
    return balance.mass(cell) * balance.curve(cell).heat_capacity();
  }

  void take_cells(const double* y) {
    for (int i = 0; i < cells(); ++i) state.enthalpy[i] = y[i];
  }
  void take_surfaces(const double* y) {
    for (int h = 0; h < balance.hubs(); ++h) state.surface[h] = y[cells() + h];
  }

  /// Solves with the matrix evaluated last. Rows of cells are given in the order of cells, rows of
  /// surfaces by `surfaces` (null: zero); the changes of cells go to `x`, of surfaces likewise.
  void solve(const double* right, const double* surfaces, double* x, double* surface_x) {
    const int chain = problem->network.chain_cells;
    for (int i = 0; i < chain; ++i) cell_part[i] = right[i];
    for (int h = 0; h < balance.hubs(); ++h) {
      const int cell = problem->network.hubs[static_cast<std::size_t>(h)].cell;
      hub_part[h] = cell >= 0 ? right[cell] : surfaces != nullptr ? surfaces[h] : 0;
    }
    matrix.solve(cell_part, hub_part);
    for (int i = 0; i < chain; ++i) x[i] = cell_part[i];
    for (int h = 0; h < balance.hubs(); ++h) {
      const int cell = problem->network.hubs[static_cast<std::size_t>(h)].cell;
      if (cell >= 0) x[cell] = hub_part[h];
      if (surface_x != nullptr) surface_x[h] = cell >= 0 ? 0 : hub_part[h];
    }
  }

  [[nodiscard]] double cell_temperature(int cell, const double* y) const {
    return balance.thermal_state(y[cell], cell).temperature;
  }
  /// Surfaces are those of the last evaluation.
  [[nodiscard]] double temperature(const mesh::Probe& probe, const double* y) const {
    if (probe.cells.empty()) {
      const int cell = problem->network.hubs[static_cast<std::size_t>(probe.hub)].cell;
      return cell < 0 ? state.surface[probe.hub] : cell_temperature(cell, y);
    }
    double sum = 0;
    for (std::size_t i = 0; i < probe.cells.size(); ++i) {
      sum += probe.weights[i] * cell_temperature(probe.cells[i], y);
    }
    return sum;
  }

  const Problem* problem;
  solver::HeatBalance balance;
  solver::Stepper stepper;
  solver::State state;
  solver::Rates rates;
  solver::BorderedSystem matrix;
  Eigen::VectorXd cell_part, hub_part;
  long evaluations = 0;
  bool by_ida = false;
};

System& system_of(void* data) { return *static_cast<System*>(data); }

// A SUNDIALS matrix and solver that stand for the bordered system of a System.

SUNMatrix_ID matrix_id(SUNMatrix) { return SUNMATRIX_CUSTOM; }
int leave(SUNMatrix) { return 0; }

SUNMatrix make_matrix(System& system, SUNContext context) {
  SUNMatrix matrix = SUNMatNewEmpty(context);
  matrix->ops->getid = matrix_id;
  matrix->ops->zero = leave;
  matrix->content = &system;
  return matrix;
}

SUNLinearSolver_Type direct(SUNLinearSolver) { return SUNLINEARSOLVER_DIRECT; }
int set_up(SUNLinearSolver, SUNMatrix matrix) {
  system_of(matrix->content).matrix.factor();
  return 0;
}
int solve(SUNLinearSolver, SUNMatrix matrix, N_Vector x, N_Vector right, realtype) {
  System& system = system_of(matrix->content);
  const double* r = N_VGetArrayPointer(right);
  double* y = N_VGetArrayPointer(x);
  const int n = system.cells();
  system.solve(r, system.by_ida ? r + n : nullptr, y, system.by_ida ? y + n : nullptr);
  return 0;
}

SUNLinearSolver make_solver(SUNContext context) {
  SUNLinearSolver solver = SUNLinSolNewEmpty(context);
  solver->ops->gettype = direct;
  solver->ops->setup = set_up;
  solver->ops->solve = solve;
  return solver;
}

int cvode_rates(double time, N_Vector y, N_Vector out, void* data) {
  System& system = system_of(data);
  system.take_cells(N_VGetArrayPointer(y));
  ++system.evaluations;
  if (!system.stepper.balance_surfaces(system.conditions(time), system.state, system.rates)) {
    return 1;
  }
  for (int i = 0; i < system.cells(); ++i) N_VGetArrayPointer(out)[i] = system.rates.cells[i];
  return 0;
}

int cvode_matrix(double time, N_Vector y, N_Vector, SUNMatrix, booleantype, booleantype* current,
                 double gamma, void* data, N_Vector, N_Vector, N_Vector) {
  System& system = system_of(data);
  system.take_cells(N_VGetArrayPointer(y));
  system.balance.evaluate(system.state, system.conditions(time), system.rates, &system.matrix,
                          gamma);
  *current = SUNTRUE;
  return 0;
}

int ida_residual(double time, N_Vector y, N_Vector slope, N_Vector out, void* data) {
  System& system = system_of(data);
  const double* v = N_VGetArrayPointer(y);
  const int n = system.cells();
  system.take_cells(v);
  system.take_surfaces(v);
  ++system.evaluations;
  system.balance.place_fronts(system.state);
  system.balance.evaluate(system.state, system.conditions(time), system.rates, nullptr, 0);
  for (int i = 0; i < n; ++i) {
    N_VGetArrayPointer(out)[i] = N_VGetArrayPointer(slope)[i] - system.rates.cells[i];
  }
  for (int h = 0; h < system.balance.hubs(); ++h) {
    // The library's row of a surface is minus the derivative of what is left over.
    N_VGetArrayPointer(out)[n + h] =
        system.balance.is_surface(h) ? -system.rates.surfaces[h] : v[n + h] - 273.15;
  }
  return 0;
}

int ida_matrix(double time, double cj, N_Vector y, N_Vector, N_Vector, SUNMatrix, void* data,
               N_Vector, N_Vector, N_Vector) {
  System& system = system_of(data);
  system.take_cells(N_VGetArrayPointer(y));
  system.take_surfaces(N_VGetArrayPointer(y));
  // cj − ∂rates/∂H for cells: the library's matrix times cj with scale 1/cj.
  system.balance.evaluate(system.state, system.conditions(time), system.rates, &system.matrix,
                          1 / cj);
  return 0;
}

/// The rows of cells of IDA's system are cj times those of the library's matrix.
int ida_solve(SUNLinearSolver solver, SUNMatrix matrix, N_Vector x, N_Vector right, realtype) {
  System& system = system_of(matrix->content);
  double cj = 0;
  IDAGetCurrentCj(solver->content, &cj);
  const int n = system.cells();
  double* r = N_VGetArrayPointer(right);
  for (int i = 0; i < n; ++i) r[i] /= cj;
  double* y = N_VGetArrayPointer(x);
  system.solve(r, r + n, y, y + n);
  return 0;
}

double past_limit(System& system, const double* y) {
  return system.temperature(system.problem->watched.limited, y) - system.problem->watched.limit;
}

int cvode_root(double, N_Vector y, double* out, void* data) {
  out[0] = past_limit(system_of(data), N_VGetArrayPointer(y));
  return 0;
}

int ida_root(double, N_Vector y, N_Vector, double* out, void* data) {
  out[0] = past_limit(system_of(data), N_VGetArrayPointer(y));
  return 0;
}

void note(System& system, double time, double* y, Answer& answer) {
  system.take_cells(y);
  if (system.by_ida) {
    system.take_surfaces(y);
  } else {
    system.stepper.balance_surfaces(system.conditions(time), system.state, system.rates);
  }
  for (const auto& probe : system.problem->watched.probes) {
    answer.temperatures.push_back(system.temperature(probe, y));
  }
}

/// Steps from output to output; `advance(until, time)` returns true at a crossing of the limit.
template <typename Advance>
void through_outputs(System& system, double output_every, double* y, Answer& answer,
                     const Advance& advance) {
  const double duration = system.problem->schedule.duration;
  const int outputs = static_cast<int>(duration / output_every + 0.5);
  for (int i = 1; i <= outputs; ++i) {
    double time = 0;
    while (advance(i == outputs ? duration : i * output_every, time)) {
      if (answer.end < 0) answer.end = time;
    }
    note(system, time, y, answer);
  }
  answer.completed = true;
  answer.evaluations = system.evaluations;
}

}  // namespace

Answer by_cvode(const Problem& problem, double tolerance, double output_every) {
  System system(problem);
  Answer answer;
  SUNContext context = nullptr;
  check(SUNContext_Create(nullptr, &context), "context");
  const int n = system.cells();
  N_Vector y = N_VNew_Serial(n, context);
  N_Vector absolute = N_VNew_Serial(n, context);
  for (int i = 0; i < n; ++i) {
    N_VGetArrayPointer(y)[i] = system.state.enthalpy[i];
    N_VGetArrayPointer(absolute)[i] = tolerance * system.capacity(i);
  }
  void* cvode = CVodeCreate(CV_BDF, context);
  SUNMatrix matrix = make_matrix(system, context);
  SUNLinearSolver solver = make_solver(context);
  check(CVodeInit(cvode, cvode_rates, 0, y), "init");
  check(CVodeSVtolerances(cvode, 1e-12, absolute), "tolerances");
  check(CVodeSetUserData(cvode, &system), "data");
  check(CVodeSetMaxNumSteps(cvode, 5000000), "steps");
  check(CVodeSetLinearSolver(cvode, solver, matrix), "linear solver");
  check(CVodeSetLinSysFn(cvode, cvode_matrix), "matrix");
  check(CVodeRootInit(cvode, 1, cvode_root), "root");
  int upward = 1;
  check(CVodeSetRootDirection(cvode, &upward), "root direction");
  through_outputs(system, output_every, N_VGetArrayPointer(y), answer,
                  [&](double until, double& time) {
                    const int flag = CVode(cvode, until, y, &time, CV_NORMAL);
                    check(flag, "march");
                    if (flag != CV_ROOT_RETURN) return false;
                    check(CVodeRootInit(cvode, 0, nullptr), "only the first crossing counts");
                    return true;
                  });
  CVodeGetNumSteps(cvode, &answer.steps);
  CVodeGetNumNonlinSolvIters(cvode, &answer.iterations);
  answer.attempts = answer.steps;
  CVodeFree(&cvode);
  SUNLinSolFreeEmpty(solver);
  SUNMatFreeEmpty(matrix);
  N_VDestroy(y);
  N_VDestroy(absolute);
  SUNContext_Free(&context);
  return answer;
}

Answer by_ida(const Problem& problem, double tolerance, double output_every) {
  System system(problem);
  system.by_ida = true;
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
    double* start = N_VGetArrayPointer(y);
    if (i < cells) {
      start[i] = system.state.enthalpy[i];
    } else {
      start[i] = system.balance.is_surface(hub) ? system.state.surface[hub] : 273.15;
    }
    N_VGetArrayPointer(slope)[i] = i < cells ? system.rates.cells[i] : 0;
    N_VGetArrayPointer(kind)[i] = i < cells ? 1 : 0;
    N_VGetArrayPointer(absolute)[i] = tolerance * (i < cells ? system.capacity(i) : 1);
  }
  void* ida = IDACreate(context);
  SUNMatrix matrix = make_matrix(system, context);
  SUNLinearSolver solver = make_solver(context);
  solver->ops->solve = ida_solve;
  solver->content = ida;
  check(IDAInit(ida, ida_residual, 0, y, slope), "init");
  check(IDASVtolerances(ida, 1e-12, absolute), "tolerances");
  check(IDASetUserData(ida, &system), "data");
  check(IDASetMaxNumSteps(ida, 5000000), "steps");
  check(IDASetId(ida, kind), "kind");
  check(IDASetSuppressAlg(ida, SUNTRUE), "surfaces out of the error test");
  check(IDASetLinearSolver(ida, solver, matrix), "linear solver");
  check(IDASetJacFn(ida, ida_matrix), "matrix");
  check(IDARootInit(ida, 1, ida_root), "root");
  int upward = 1;
  check(IDASetRootDirection(ida, &upward), "root direction");
  check(IDACalcIC(ida, IDA_YA_YDP_INIT, 1e-3), "start");
  through_outputs(system, output_every, N_VGetArrayPointer(y), answer,
                  [&](double until, double& time) {
                    const int flag = IDASolve(ida, until, &time, y, slope, IDA_NORMAL);
                    check(flag, "march");
                    if (flag != IDA_ROOT_RETURN) return false;
                    check(IDARootInit(ida, 0, nullptr), "only the first crossing counts");
                    return true;
                  });
  IDAGetNumSteps(ida, &answer.steps);
  IDAGetNumNonlinSolvIters(ida, &answer.iterations);
  answer.attempts = answer.steps;
  IDAFree(&ida);
  SUNLinSolFreeEmpty(solver);
  SUNMatFreeEmpty(matrix);
  for (N_Vector vector : {y, slope, kind, absolute}) N_VDestroy(vector);
  SUNContext_Free(&context);
  return answer;
}

}  // namespace thawline::validation
