#include "speed/peer_integrators.hpp"

#include "solver/linear/column_system.hpp"

namespace thawline::validation {

namespace {

/// A peer that solves with the bordered system of the library.
struct BorderedPeer : PeerSystem {
  BorderedPeer(const Problem& p, const PeerSettings& s, bool surfaces)
      : PeerSystem(p, s, surfaces), bordered(balance), change(balance.cells() + balance.hubs()) {}

  /// Fills M − scale ∂(rates)/∂(unknowns) at the unknowns `y`.
  void fill(double time, N_Vector y, double scale) {
    take(N_VGetArrayPointer(y));
    balance.evaluate(state, conditions(time), rates);
    bordered.assemble(balance, scale);
  }

  /// Solves with the matrix filled last: `right` and `x` by unknown.
  void solve(const double* right, double* x) {
    for (int i = 0; i < cells(); ++i) change[i] = right[i] * cell_scale;
    for (int h = 0; h < balance.hubs(); ++h) {
      change[cells() + h] = has_surfaces && balance.is_surface(h) ? right[cells() + h] : 0;
    }
    (void)bordered.solve(change, 0);
    for (int i = 0; i < cells(); ++i) x[i] = change[i];
    for (int h = 0; has_surfaces && h < balance.hubs(); ++h) {
      x[cells() + h] = balance.is_surface(h) ? change[cells() + h] : 0;
    }
  }

  solver::ColumnSystem bordered;
  double cell_scale = 1;   ///< of the library's rows of cells, over those of the integrator
  Eigen::VectorXd change;  ///< by unknown
};

BorderedPeer& peer_of(SUNMatrix matrix) { return content_of<BorderedPeer>(matrix); }

/// Factored with the first solution.
int set_up(SUNLinearSolver, SUNMatrix) { return 0; }
int solve(SUNLinearSolver, SUNMatrix matrix, N_Vector x, N_Vector right, realtype) {
  peer_of(matrix).solve(N_VGetArrayPointer(right), N_VGetArrayPointer(x));
  return 0;
}
int cvode_matrix(double time, N_Vector y, N_Vector, SUNMatrix matrix, booleantype,
                 booleantype* current, double gamma, void*, N_Vector, N_Vector, N_Vector) {
  peer_of(matrix).fill(time, y, gamma);
  *current = SUNTRUE;
  return 0;
}

/// IDA's matrix, cj − ∂(rates)/∂H for cells, is the library's times cj with a scale of 1/cj.
int ida_matrix(double time, double cj, N_Vector y, N_Vector, N_Vector, SUNMatrix matrix, void*,
               N_Vector, N_Vector, N_Vector) {
  peer_of(matrix).fill(time, y, 1 / cj);
  peer_of(matrix).cell_scale = 1 / cj;
  return 0;
}

}  // namespace

Answer by_cvode(const Problem& problem, const PeerSettings& settings) {
  BorderedPeer peer(problem, settings, false);
  const Context context = make_context();
  const Matrix matrix = make_own_matrix(&peer, context.get());
  const LinearSolver solver = make_own_solver(set_up, solve, context.get());
  return march_by_cvode(peer, context.get(), matrix.get(), solver.get(), cvode_matrix);
}

Answer by_ida(const Problem& problem, const PeerSettings& settings) {
  BorderedPeer peer(problem, settings, true);
  const Context context = make_context();
  const Matrix matrix = make_own_matrix(&peer, context.get());
  const LinearSolver solver = make_own_solver(set_up, solve, context.get());
  return march_by_ida(peer, context.get(), matrix.get(), solver.get(), ida_matrix);
}

}  // namespace thawline::validation
