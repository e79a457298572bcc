#include "speed/peer_march.hpp"

#include <cvode/cvode.h>
#include <ida/ida.h>
#include <nvector/nvector_serial.h>

#include <algorithm>

#include "solver/results/probes.hpp"
#include "speed/processor_time.hpp"

namespace thawline::validation {

namespace {

constexpr long most_steps = 5'000'000;
/// Temperature that the idle place of a lumped hub among the surfaces is kept at, K.
constexpr double idle = 273.15;

}  // namespace

PeerSystem::PeerSystem(const Problem& p, const PeerSettings& s, bool surfaces)
    : problem(p),
      settings(s),
      has_surfaces(surfaces),
      balance(p.network),
      outside(p.schedule, 1e-4),
      stepper(balance, outside, 1e-6),
      state(balance.start_state()),
      rates(balance.zero_rates()),
      deadline_(seconds_of_this_thread() + s.most_seconds) {
  if (!stepper.balance_surfaces(conditions(0), state, rates)) {
    throw std::runtime_error("surfaces at the start");
  }
}

bool PeerSystem::out_of_time() const { return seconds_of_this_thread() > deadline_; }

void PeerSystem::take(const double* y) {
  std::copy(y, y + cells(), state.enthalpy.data());
  if (has_surfaces) std::copy(y + cells(), y + unknowns(), state.surface.data());
}

bool PeerSystem::balance_surfaces(double time) {
  return stepper.balance_surfaces(conditions(time), state, rates);
}

double PeerSystem::temperature(const mesh::Probe& probe) const {
  solver::StepView view;
  view.balance = &balance;
  view.to = &state;
  return solver::probe_temperature(view, probe, 0);
}

namespace {

Vector make_vector(int size, SUNContext context) { return Vector(N_VNew_Serial(size, context)); }

Vector start_of(const PeerSystem& system, SUNContext context) {
  Vector y = make_vector(system.unknowns(), context);
  double* v = N_VGetArrayPointer(y.get());
  for (int i = 0; i < system.cells(); ++i) v[i] = system.state.enthalpy[i];
  for (int i = system.cells(); i < system.unknowns(); ++i) {
    const int hub = i - system.cells();
    v[i] = system.balance.is_surface(hub) ? system.state.surface[hub] : idle;
  }
  return y;
}

Vector tolerances_of(const PeerSystem& system, SUNContext context) {
  Vector absolute = make_vector(system.unknowns(), context);
  double* v = N_VGetArrayPointer(absolute.get());
  const double range = system.settings.melting_range;
  for (int i = 0; i < system.unknowns(); ++i) {
    v[i] = system.settings.tolerance;
    if (i >= system.cells()) continue;
    const auto& curve = system.balance.curve(i);
    const double melting = range > 0 ? curve.melting_enthalpy() / range : 0;
    v[i] *= system.balance.mass(i) * (curve.heat_capacity() + melting);
  }
  return absolute;
}

int cvode_rates(double time, N_Vector y, N_Vector out, void* data) {
  PeerSystem& system = system_of(data);
  if (system.out_of_time()) return -1;
  system.take(N_VGetArrayPointer(y));
  ++system.evaluations;
  if (!system.balance_surfaces(time)) return 1;
  std::copy(system.rates.cells.begin(), system.rates.cells.end(), N_VGetArrayPointer(out));
  return 0;
}

int ida_residual(double time, N_Vector y, N_Vector slope, N_Vector out, void* data) {
  PeerSystem& system = system_of(data);
  if (system.out_of_time()) return -1;
  const double* v = N_VGetArrayPointer(y);
  const double* dv = N_VGetArrayPointer(slope);
  double* r = N_VGetArrayPointer(out);
  const int n = system.cells();
  system.take(v);
  ++system.evaluations;
  if (!system.settings.fronts_by_step) system.balance.place_fronts(system.state);
  system.balance.evaluate(system.state, system.conditions(time), system.rates);
  for (int i = 0; i < n; ++i) r[i] = dv[i] - system.rates.cells[i];
  for (int h = 0; h < system.balance.hubs(); ++h) {
    // The library's row of a surface is minus the derivative of what is left over.
    r[n + h] = system.balance.is_surface(h) ? -system.rates.surfaces[h] : v[n + h] - idle;
  }
  return 0;
}

/// Surfaces that are not unknown are those of the last evaluation.
int cvode_root(double, N_Vector y, double* out, void* data) {
  system_of(data).take(N_VGetArrayPointer(y));
  out[0] = system_of(data).past_limit();
  return 0;
}

int ida_root(double, N_Vector y, N_Vector, double* out, void* data) {
  return cvode_root(0, y, out, data);
}

/// CVODE and IDA alike, as the loop over steps sees them.
struct Integrator {
  virtual ~Integrator() = default;
  /// One step, or up to a crossing of the limit within it (true).
  virtual bool step(double duration, double& time) = 0;
  /// The unknowns at a time within the last step.
  virtual void interpolate(double time) = 0;
  virtual double step_end() = 0;
  virtual void count(Answer& answer) = 0;
};

void note(PeerSystem& system, double time, const double* y, Answer& answer) {
  system.take(y);
  if (!system.has_surfaces) system.balance_surfaces(time);
  for (const auto& probe : system.problem.watched.probes) {
    answer.temperatures.push_back(system.temperature(probe));
  }
}

Answer through_steps(PeerSystem& system, Integrator& integrator, const double* y) {
  Answer answer;
  const double duration = system.problem.schedule.duration;
  const double every = system.settings.output_every;
  try {
    double next = every;
    while (answer.reached < duration * (1 - 1e-12)) {
      double time = 0;
      if (integrator.step(duration, time)) answer.end = time;
      answer.reached = integrator.step_end();
      for (; next <= std::min(answer.reached, duration) * (1 + 1e-12); next += every) {
        const double at = std::min(next, answer.reached);
        integrator.interpolate(at);
        note(system, at, y, answer);
      }
      if (!system.settings.fronts_by_step) continue;
      integrator.interpolate(answer.reached);
      system.take(y);
      system.balance.place_fronts(system.state);
    }
    answer.completed = true;
  } catch (const std::runtime_error& error) {
    answer.gave_up = system.out_of_time() ? "out of time" : error.what();
  }
  answer.evaluations = system.evaluations;
  integrator.count(answer);
  return answer;
}

struct ByCvode : Integrator {
  ByCvode(PeerSystem& system, SUNContext context)
      : memory(CVodeCreate(CV_BDF, context)),
        y(start_of(system, context)),
        shown(make_vector(system.unknowns(), context)),
        absolute(tolerances_of(system, context)) {}
  ByCvode(const ByCvode&) = delete;
  ByCvode& operator=(const ByCvode&) = delete;
  ~ByCvode() override { CVodeFree(&memory); }

  bool step(double duration, double& time) override {
    const int flag = CVode(memory, duration, y.get(), &time, CV_ONE_STEP);
    check(flag, "march");
    if (flag != CV_ROOT_RETURN) return false;
    check(CVodeRootInit(memory, 0, nullptr), "only the first crossing counts");
    return true;
  }
  void interpolate(double time) override {
    check(CVodeGetDky(memory, time, 0, shown.get()), "output");
  }
  double step_end() override {
    double time = 0;
    CVodeGetCurrentTime(memory, &time);
    return time;
  }
  void count(Answer& answer) override {
    CVodeGetNumSteps(memory, &answer.steps);
    CVodeGetNumNonlinSolvIters(memory, &answer.iterations);
    long rejected = 0;
    CVodeGetNumErrTestFails(memory, &rejected);
    CVodeGetNumStepSolveFails(memory, &answer.failed);
    answer.attempts = answer.steps + rejected + answer.failed;
    CVodeGetNumLinSolvSetups(memory, &answer.factorings);
  }

  void* memory;
  Vector y, shown, absolute;
};

struct ByIda : Integrator {
  ByIda(PeerSystem& system, SUNContext context)
      : memory(IDACreate(context)),
        y(start_of(system, context)),
        slope(make_vector(system.unknowns(), context)),
        shown(make_vector(system.unknowns(), context)),
        absolute(tolerances_of(system, context)),
        kind(make_vector(system.unknowns(), context)) {
    for (int i = 0; i < system.unknowns(); ++i) {
      N_VGetArrayPointer(slope.get())[i] = i < system.cells() ? system.rates.cells[i] : 0;
      N_VGetArrayPointer(kind.get())[i] = i < system.cells() ? 1 : 0;
    }
  }
  ByIda(const ByIda&) = delete;
  ByIda& operator=(const ByIda&) = delete;
  ~ByIda() override { IDAFree(&memory); }

  bool step(double duration, double& time) override {
    const int flag = IDASolve(memory, duration, &time, y.get(), slope.get(), IDA_ONE_STEP);
    check(flag, "march");
    if (flag != IDA_ROOT_RETURN) return false;
    check(IDARootInit(memory, 0, nullptr), "only the first crossing counts");
    return true;
  }
  void interpolate(double time) override {
    check(IDAGetDky(memory, time, 0, shown.get()), "output");
  }
  double step_end() override {
    double time = 0;
    IDAGetCurrentTime(memory, &time);
    return time;
  }
  void count(Answer& answer) override {
    IDAGetNumSteps(memory, &answer.steps);
    IDAGetNumNonlinSolvIters(memory, &answer.iterations);
    long rejected = 0;
    IDAGetNumErrTestFails(memory, &rejected);
    IDAGetNumStepSolveFails(memory, &answer.failed);
    answer.attempts = answer.steps + rejected + answer.failed;
    IDAGetNumLinSolvSetups(memory, &answer.factorings);
  }

  void* memory;
  Vector y, slope, shown, absolute, kind;
};

}  // namespace

Answer march_by_cvode(PeerSystem& system, SUNContext context, SUNMatrix matrix,
                      SUNLinearSolver solver, CvodeMatrix fill) {
  ByCvode cvode(system, context);
  void* memory = cvode.memory;
  const PeerSettings& set = system.settings;
  check(CVodeInit(memory, cvode_rates, 0, cvode.y.get()), "init");
  check(CVodeSVtolerances(memory, 1e-12, cvode.absolute.get()), "tolerances");
  check(CVodeSetUserData(memory, &system), "data");
  check(CVodeSetMaxNumSteps(memory, most_steps), "steps");
  check(CVodeSetStopTime(memory, system.problem.schedule.duration), "end");
  check(CVodeSetLinearSolver(memory, solver, matrix), "linear solver");
  check(CVodeSetLinSysFn(memory, fill), "matrix");
  check(CVodeRootInit(memory, 1, cvode_root), "root");
  int upward = 1;
  check(CVodeSetRootDirection(memory, &upward), "root direction");
  if (set.highest_order > 0) check(CVodeSetMaxOrd(memory, set.highest_order), "order");
  if (set.matrix_change > 0) check(CVodeSetDeltaGammaMaxLSetup(memory, set.matrix_change), "gamma");
  if (set.steps_a_matrix > 0) check(CVodeSetLSetupFrequency(memory, set.steps_a_matrix), "setups");
  if (set.most_iterations > 0) check(CVodeSetMaxNonlinIters(memory, set.most_iterations), "Newton");
  if (set.least_growth > 0)
    check(CVodeSetEtaFixedStepBounds(memory, 1, set.least_growth), "growth");
  if (set.after_failure > 0) check(CVodeSetEtaConvFail(memory, set.after_failure), "failure");
  if (set.newton_share > 0) check(CVodeSetNonlinConvCoef(memory, set.newton_share), "bar");
  return through_steps(system, cvode, N_VGetArrayPointer(cvode.shown.get()));
}

Answer march_by_ida(PeerSystem& system, SUNContext context, SUNMatrix matrix,
                    SUNLinearSolver solver, IdaMatrix fill) {
  ByIda ida(system, context);
  void* memory = ida.memory;
  const PeerSettings& set = system.settings;
  check(IDAInit(memory, ida_residual, 0, ida.y.get(), ida.slope.get()), "init");
  check(IDASVtolerances(memory, 1e-12, ida.absolute.get()), "tolerances");
  check(IDASetUserData(memory, &system), "data");
  check(IDASetMaxNumSteps(memory, most_steps), "steps");
  check(IDASetStopTime(memory, system.problem.schedule.duration), "end");
  check(IDASetId(memory, ida.kind.get()), "kind");
  check(IDASetSuppressAlg(memory, SUNTRUE), "surfaces out of the error test");
  check(IDASetLinearSolver(memory, solver, matrix), "linear solver");
  check(IDASetJacFn(memory, fill), "matrix");
  check(IDARootInit(memory, 1, ida_root), "root");
  int upward = 1;
  check(IDASetRootDirection(memory, &upward), "root direction");
  if (set.highest_order > 0) check(IDASetMaxOrd(memory, set.highest_order), "order");
  if (set.matrix_change > 0) check(IDASetDeltaCjLSetup(memory, set.matrix_change), "cj");
  if (set.most_iterations > 0) check(IDASetMaxNonlinIters(memory, set.most_iterations), "Newton");
  if (set.least_growth > 0) check(IDASetEtaFixedStepBounds(memory, 1, set.least_growth), "growth");
  if (set.after_failure > 0) check(IDASetEtaConvFail(memory, set.after_failure), "failure");
  if (set.newton_share > 0) check(IDASetNonlinConvCoef(memory, set.newton_share), "bar");
  check(IDACalcIC(memory, IDA_YA_YDP_INIT, 1e-3), "start");
  return through_steps(system, ida, N_VGetArrayPointer(ida.shown.get()));
}

}  // namespace thawline::validation
