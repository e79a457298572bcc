#pragma once

#include <limits>

#include "solver/march/step.hpp"
#include "speed/problem.hpp"
#include "speed/sundials_handles.hpp"

namespace thawline::validation {

/// What a peer is asked for, and how it is set. A 0 leaves SUNDIALS' own setting.
struct PeerSettings {
  double tolerance = 0;                                           ///< K
  double output_every = 0;                                        ///< s
  double most_seconds = std::numeric_limits<double>::infinity();  ///< of the processor
  /// The tolerance of a cell is that temperature times its heat capacity; heat of melting counts as
  /// if spread over so many K, or not at all where it is 0.
  double melting_range = 0;
  int highest_order = 0;
  /// Share by which γ (IDA: 1/cj) may change before the matrix is factored anew.
  double matrix_change = 0;
  /// Growth of a step below which its length stays.
  double least_growth = 0;
  /// What a step shrinks to when Newton did not converge.
  double after_failure = 0;
  int steps_a_matrix = 0;  ///< most of them; CVODE only
  int most_iterations = 0;
  double newton_share = 0;      ///< Newton's bar, as a share of the tolerance
  bool fronts_by_step = false;  ///< placed after each step only, not at each evaluation
  enum class Ordering { amd = 0, colamd = 1, nested_dissection = 3 };
  Ordering ordering = Ordering::amd;  ///< of KLU
};

/// The library's cells and links as SUNDIALS' callbacks see them.
class PeerSystem {
 public:
  /// Unknowns are the enthalpies of cells and, with `has_surfaces`, a place for each hub.
  PeerSystem(const Problem& problem, const PeerSettings& settings, bool has_surfaces);
  PeerSystem(const PeerSystem&) = delete;
  PeerSystem& operator=(const PeerSystem&) = delete;
  PeerSystem(PeerSystem&&) = delete;
  PeerSystem& operator=(PeerSystem&&) = delete;
  virtual ~PeerSystem() = default;

  [[nodiscard]] int cells() const { return balance.cells(); }
  [[nodiscard]] int unknowns() const { return cells() + (has_surfaces ? balance.hubs() : 0); }
  [[nodiscard]] solver::Conditions conditions(double time) const {
    return problem.schedule.at(time, 0);
  }
  [[nodiscard]] bool out_of_time() const;

  void take(const double* y);
  /// Places fronts, moves the surfaces until they are balanced and fills `rates`.
  virtual bool balance_surfaces(double time);
  /// At the state taken last.
  [[nodiscard]] double temperature(const mesh::Probe& probe) const;
  [[nodiscard]] double past_limit() const {
    return temperature(problem.watched.limited) - problem.watched.limit;
  }

  const Problem& problem;
  const PeerSettings settings;
  const bool has_surfaces;
  solver::HeatBalance balance;
  solver::Outside outside;
  solver::Stepper stepper;
  solver::State state;
  solver::Rates rates;
  long evaluations = 0;

 private:
  double deadline_;
};

[[nodiscard]] inline PeerSystem& system_of(void* data) { return *static_cast<PeerSystem*>(data); }

/// Marches by CVODE (BDF), enthalpies of cells only. `matrix` and `solver` hold
/// M − γ ∂(rates)/∂H, filled by `fill`.
using CvodeMatrix = int (*)(double time, N_Vector y, N_Vector rates, SUNMatrix matrix,
                            booleantype keeps, booleantype* current, double gamma, void* data,
                            N_Vector, N_Vector, N_Vector);
[[nodiscard]] Answer march_by_cvode(PeerSystem& system, SUNContext context, SUNMatrix matrix,
                                    SUNLinearSolver solver, CvodeMatrix fill);

/// Marches by IDA (BDF), surfaces as algebraic equations.
using IdaMatrix = int (*)(double time, double cj, N_Vector y, N_Vector slope, N_Vector residual,
                          SUNMatrix matrix, void* data, N_Vector, N_Vector, N_Vector);
[[nodiscard]] Answer march_by_ida(PeerSystem& system, SUNContext context, SUNMatrix matrix,
                                  SUNLinearSolver solver, IdaMatrix fill);

}  // namespace thawline::validation
