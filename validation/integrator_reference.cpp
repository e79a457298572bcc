#include <ida/ida.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <stdexcept>

#include "cases/read_case.hpp"
#include "library_json.hpp"
#include "solver/results/run_case.hpp"

// The same cells and links as the library's, marched by SUNDIALS IDA instead: variable-order BDF
// for the enthalpies of the cells with the balances of the surfaces as algebraic equations. Usage:
// integrator_reference MATERIAL_FOLDER CASE.yaml. Prints the end of the first limit by both.

using namespace thawline;
using validation::json;

namespace {

void check(int flag, const char* what) {
  if (flag < 0) throw std::runtime_error(std::string("SUNDIALS: ") + what);
}

struct System {
  System(const cases::Case& c, const mesh::Network& network)
      : balance(network),
        schedule(solver::make_schedule(c)),
        state(balance.start_state()),
        rates(balance.zero_rates()),
        limit(c.limits.front().temperature) {
    for (const auto& candidate : network.probes) {
      if (candidate.name == c.limits.front().probes.front()) probe = candidate;
    }
  }

  [[nodiscard]] int size() const { return balance.cells() + balance.hubs(); }

  void evaluate(double time, const double* y) {
    for (int i = 0; i < balance.cells(); ++i) state.enthalpy[i] = y[i];
    for (int i = 0; i < balance.hubs(); ++i) state.surface[i] = y[balance.cells() + i];
    balance.evaluate(state, schedule.at(time, 0), rates, nullptr, 0);
  }

  void residual(double time, const double* y, const double* slope, double* out) {
    evaluate(time, y);
    const int n = balance.cells();
    for (int i = 0; i < n; ++i) out[i] = slope[i] - rates.cells[i];
    for (int i = 0; i < balance.hubs(); ++i) {
      out[n + i] = balance.is_surface(i) ? rates.surfaces[i] : y[n + i] - 273.15;
    }
  }

  double past(const double* y) {
    double sum = -limit;
    for (std::size_t i = 0; i < probe.cells.size(); ++i) {
      const int cell = probe.cells[i];
      sum += probe.weights[i] * balance.curve(cell).at(y[cell] / balance.mass(cell)).temperature;
    }
    return sum;
  }

  solver::HeatBalance balance;
  solver::Schedule schedule;
  solver::State state;
  solver::Rates rates;
  mesh::Probe probe;
  double limit = 0;
};

int residual(double time, N_Vector y, N_Vector slope, N_Vector out, void* system) {
  static_cast<System*>(system)->residual(time, N_VGetArrayPointer(y), N_VGetArrayPointer(slope),
                                         N_VGetArrayPointer(out));
  return 0;
}

int root(double, N_Vector y, N_Vector, double* out, void* system) {
  out[0] = static_cast<System*>(system)->past(N_VGetArrayPointer(y));
  return 0;
}

/// First upward crossing of the limit, s; −1 when there is none. `steps` takes IDA's count.
double end_by_ida(System& system, double tolerance, long& steps) {
  SUNContext context = nullptr;
  check(SUNContext_Create(nullptr, &context), "context");
  const int n = system.size();
  const int cells = system.balance.cells();
  N_Vector y = N_VNew_Serial(n, context);
  N_Vector slope = N_VNew_Serial(n, context);
  N_Vector kind = N_VNew_Serial(n, context);
  N_Vector absolute = N_VNew_Serial(n, context);
  // Surfaces balanced by the library for a start; IDACalcIC makes them consistent.
  solver::Stepper stepper(system.balance, system.schedule, 1e-8);
  stepper.balance_surfaces(system.schedule.at(0, 0), system.state, system.rates);
  double* v = N_VGetArrayPointer(y);
  for (int i = 0; i < cells; ++i) v[i] = system.state.enthalpy[i];
  for (int i = 0; i < system.balance.hubs(); ++i) {
    v[cells + i] = system.balance.is_surface(i) ? system.state.surface[i] : 273.15;
  }
  system.evaluate(0, v);
  for (int i = 0; i < n; ++i) {
    N_VGetArrayPointer(slope)[i] = i < cells ? system.rates.cells[i] : 0;
    N_VGetArrayPointer(kind)[i] = i < cells ? 1 : 0;
    const double capacity =
        i < cells ? system.balance.mass(i) * system.balance.curve(i).heat_capacity() : 1;
    N_VGetArrayPointer(absolute)[i] = tolerance * capacity;
  }
  void* ida = IDACreate(context);
  check(IDAInit(ida, residual, 0, y, slope), "init");
  check(IDASVtolerances(ida, 1e-12, absolute), "tolerances");
  check(IDASetUserData(ida, &system), "data");
  check(IDASetMaxNumSteps(ida, 5000000), "steps");
  check(IDASetId(ida, kind), "id");
  SUNMatrix matrix = SUNDenseMatrix(n, n, context);
  SUNLinearSolver solver = SUNLinSol_Dense(y, matrix, context);
  check(IDASetLinearSolver(ida, solver, matrix), "linear solver");
  check(IDARootInit(ida, 1, root), "root");
  int direction = 1;
  check(IDASetRootDirection(ida, &direction), "root direction");
  check(IDACalcIC(ida, IDA_YA_YDP_INIT, 1e-3), "start");
  double time = 0;
  const int flag = IDASolve(ida, system.schedule.duration, &time, y, slope, IDA_NORMAL);
  check(flag, "march");
  IDAGetNumSteps(ida, &steps);
  IDAFree(&ida);
  SUNLinSolFree(solver);
  SUNMatDestroy(matrix);
  for (N_Vector vector : {y, slope, kind, absolute}) N_VDestroy(vector);
  SUNContext_Free(&context);
  return flag == IDA_ROOT_RETURN ? time : -1;
}

}  // namespace

int main(int, char** arguments) {
  auto c = cases::read_case(arguments[2], cases::read_material_folder(arguments[1]));
  const auto network = mesh::build_network(c);
  json out;
  for (const double tolerance : {1e-5, 1e-6}) {
    System system(c, network);
    long steps = 0;
    const double end = end_by_ida(system, tolerance, steps);
    out["reference"].push_back({{"tolerance", tolerance}, {"end", end}, {"steps", steps}});
  }
  for (const double accuracy : {0.2, 0.1, 0.05, 0.02, 0.01}) {
    c.run.accuracy = accuracy;
    const auto result = solver::run_network(c, network, {});
    out["ours"].push_back({{"accuracy", accuracy},
                           {"end", result.limits.front().end_time},
                           {"steps", result.summary.steps}});
  }
  std::cout << out << "\n";
}
