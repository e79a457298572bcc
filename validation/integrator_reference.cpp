#include <ida/ida.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include "cases/read_case.hpp"
#include "library_json.hpp"
#include "speed/problem.hpp"
#include "speed/sundials_handles.hpp"

// The same cells and links as the library's, marched by SUNDIALS IDA instead: variable-order BDF
// for the enthalpies of the cells with the balances of the surfaces as algebraic equations. Usage:
// integrator_reference MATERIAL_FOLDER CASE.yaml. Prints, for a rough and a fine tolerance, the end
// of the first limit (s) and every probe's temperature (K) at the instants of output.

using namespace thawline;
using validation::check;
using validation::json;

namespace {

struct System {
  explicit System(const validation::Problem& p)
      : balance(p.network),
        schedule(p.schedule),
        watched(p.watched),
        state(balance.start_state()),
        rates(balance.zero_rates()) {}

  [[nodiscard]] int size() const { return balance.cells() + balance.hubs(); }

  void evaluate(double time, const double* y) {
    for (int i = 0; i < balance.cells(); ++i) state.enthalpy[i] = y[i];
    for (int i = 0; i < balance.hubs(); ++i) state.surface[i] = y[balance.cells() + i];
    balance.place_fronts(state);  // a sharp front follows the state here, not the steps
    balance.evaluate(state, schedule.at(time, 0), rates);
  }

  void residual(double time, const double* y, const double* slope, double* out) {
    evaluate(time, y);
    const int n = balance.cells();
    for (int i = 0; i < n; ++i) out[i] = slope[i] - rates.cells[i];
    for (int i = 0; i < balance.hubs(); ++i) {
      out[n + i] = balance.is_surface(i) ? rates.surfaces[i] : y[n + i] - 273.15;
    }
  }

  [[nodiscard]] double cell_temperature(int cell, const double* y) const {
    return balance.thermal_state(y[cell], cell).temperature;
  }

  [[nodiscard]] double temperature(const mesh::Probe& probe, const double* y) const {
    if (probe.cells.empty()) {
      const int cell = balance.network().hubs[static_cast<std::size_t>(probe.hub)].cell;
      return cell < 0 ? y[balance.cells() + probe.hub] : cell_temperature(cell, y);
    }
    double sum = 0;
    for (std::size_t i = 0; i < probe.cells.size(); ++i) {
      sum += probe.weights[i] * cell_temperature(probe.cells[i], y);
    }
    return sum;
  }

  solver::HeatBalance balance;
  const solver::Schedule& schedule;
  const validation::Watched& watched;
  solver::State state;
  solver::Rates rates;
};

int residual(double time, N_Vector y, N_Vector slope, N_Vector out, void* system) {
  static_cast<System*>(system)->residual(time, N_VGetArrayPointer(y), N_VGetArrayPointer(slope),
                                         N_VGetArrayPointer(out));
  return 0;
}

int root(double, N_Vector y, N_Vector, double* out, void* system) {
  const auto& s = *static_cast<System*>(system);
  out[0] = s.temperature(s.watched.limited, N_VGetArrayPointer(y)) - s.watched.limit;
  return 0;
}

/// `end`: first upward crossing of the limit, s; −1 when there is none.
json march_by_ida(System& system, double tolerance, double output_every) {
  const validation::Context context = validation::make_context();
  const auto make_vector = [&context](int size) {
    return validation::Vector(N_VNew_Serial(size, context.get()));
  };
  const int n = system.size();
  const int cells = system.balance.cells();
  const validation::Vector y = make_vector(n);
  const validation::Vector slope = make_vector(n);
  const validation::Vector kind = make_vector(n);
  const validation::Vector absolute = make_vector(n);
  // Surfaces balanced by the library for a start; IDACalcIC makes them consistent.
  const solver::Outside outside(system.schedule, 1e-6);
  solver::Stepper stepper(system.balance, outside, 1e-8);
  stepper.balance_surfaces(system.schedule.at(0, 0), system.state, system.rates);
  double* v = N_VGetArrayPointer(y.get());
  for (int i = 0; i < cells; ++i) v[i] = system.state.enthalpy[i];
  for (int i = 0; i < system.balance.hubs(); ++i) {
    v[cells + i] = system.balance.is_surface(i) ? system.state.surface[i] : 273.15;
  }
  system.evaluate(0, v);
  for (int i = 0; i < n; ++i) {
    N_VGetArrayPointer(slope.get())[i] = i < cells ? system.rates.cells[i] : 0;
    N_VGetArrayPointer(kind.get())[i] = i < cells ? 1 : 0;
    const double capacity =
        i < cells ? system.balance.mass(i) * system.balance.curve(i).heat_capacity() : 1;
    N_VGetArrayPointer(absolute.get())[i] = tolerance * capacity;
  }
  void* ida = IDACreate(context.get());
  check(IDAInit(ida, residual, 0, y.get(), slope.get()), "init");
  check(IDASVtolerances(ida, 1e-12, absolute.get()), "tolerances");
  check(IDASetUserData(ida, &system), "data");
  check(IDASetMaxNumSteps(ida, 5000000), "steps");
  check(IDASetId(ida, kind.get()), "id");
  const validation::Matrix matrix(SUNDenseMatrix(n, n, context.get()));
  const validation::LinearSolver solver(SUNLinSol_Dense(y.get(), matrix.get(), context.get()));
  check(IDASetLinearSolver(ida, solver.get(), matrix.get()), "linear solver");
  check(IDARootInit(ida, 1, root), "root");
  int direction = 1;
  check(IDASetRootDirection(ida, &direction), "root direction");
  check(IDACalcIC(ida, IDA_YA_YDP_INIT, 1e-3), "start");
  json out{{"tolerance", tolerance}, {"end", -1.0}};
  const double duration = system.schedule.duration;
  const int outputs = static_cast<int>(duration / output_every + 0.5);
  for (int i = 1; i <= outputs; ++i) {
    const double wanted = i == outputs ? duration : i * output_every;
    double time = 0;
    int flag = IDA_ROOT_RETURN;
    while (flag == IDA_ROOT_RETURN) {
      flag = IDASolve(ida, wanted, &time, y.get(), slope.get(), IDA_NORMAL);
      check(flag, "march");
      if (flag != IDA_ROOT_RETURN) continue;
      out["end"] = time;
      check(IDARootInit(ida, 0, nullptr), "only the first crossing counts");
    }
    out["time"].push_back(time);
    for (const auto& probe : system.watched.probes) {
      out["probes"][probe.name].push_back(system.temperature(probe, N_VGetArrayPointer(y.get())));
    }
  }
  IDAFree(&ida);
  return out;
}

}  // namespace

int main(int, char** arguments) {
  const auto c = cases::read_case(arguments[2], cases::read_material_folder(arguments[1]));
  const auto problem = validation::problem_of(c, mesh::build_network(c));
  json out = json::array();
  for (const double tolerance : {1e-5, 1e-6}) {
    System system(problem);
    out.push_back(march_by_ida(system, tolerance, c.run.output_every));
  }
  std::cout << out << "\n";
}
