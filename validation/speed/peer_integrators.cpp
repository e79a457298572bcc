#include "speed/peer_integrators.hpp"

namespace thawline::validation {

namespace {

/// A peer that solves with the bordered system of the library.
struct BorderedPeer : PeerSystem {
  BorderedPeer(const Problem& p, const PeerSettings& s, bool surfaces)
      : PeerSystem(p, s, surfaces),
        bordered(balance.make_system()),
        cell_part(p.network.chain_cells),
        hub_part(balance.hubs()) {}

  /// Fills M − scale ∂(rates)/∂(unknowns) at the unknowns `y`.
  void fill(double time, N_Vector y, double scale) {
    take(N_VGetArrayPointer(y));
    balance.evaluate(state, conditions(time), rates, &bordered, scale);
  }

  /// Solves with the matrix filled last: `right` and `x` by unknown.
  void solve(const double* right, double* x) {
    const auto& hubs = problem.network.hubs;
    const int chain = problem.network.chain_cells;
    for (int i = 0; i < chain; ++i) cell_part[i] = right[i] * cell_scale;
    for (int h = 0; h < balance.hubs(); ++h) {
      const int cell = hubs[static_cast<std::size_t>(h)].cell;
      hub_part[h] = cell >= 0 ? right[cell] * cell_scale : has_surfaces ? right[cells() + h] : 0;
    }
    bordered.solve(cell_part, hub_part);
    for (int i = 0; i < chain; ++i) x[i] = cell_part[i];
    for (int h = 0; h < balance.hubs(); ++h) {
      const int cell = hubs[static_cast<std::size_t>(h)].cell;
      if (cell >= 0) x[cell] = hub_part[h];
      if (has_surfaces) x[cells() + h] = cell >= 0 ? 0 : hub_part[h];
    }
  }

  solver::BorderedSystem bordered;
  double cell_scale = 1;  ///< of the library's rows of cells, over those of the integrator
  Eigen::VectorXd cell_part, hub_part;
};

BorderedPeer& peer_of(SUNMatrix matrix) { return content_of<BorderedPeer>(matrix); }

int set_up(SUNLinearSolver, SUNMatrix matrix) {
  peer_of(matrix).bordered.factor();
  return 0;
}
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
