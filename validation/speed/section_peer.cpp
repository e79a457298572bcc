#include "speed/section_peer.hpp"

#include <nvector/nvector_serial.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "speed/section_matrix.hpp"

namespace thawline::validation {

namespace {

/// A matrix, its factors, and room for right sides and solutions.
struct Factored {
  Factored(Matrix m, PeerSettings::Ordering ordering, SUNContext context)
      : matrix(std::move(m)),
        right(N_VNew_Serial(SUNSparseMatrix_Rows(matrix.get()), context)),
        x(N_VNew_Serial(SUNSparseMatrix_Rows(matrix.get()), context)),
        klu(make_klu(x.get(), matrix.get(), ordering, context)) {
    check(SUNLinSolInitialize(klu.get()), "KLU");
  }
  bool factor() { return SUNLinSolSetup(klu.get(), matrix.get()) == 0; }
  bool solve() { return SUNLinSolSolve(klu.get(), matrix.get(), x.get(), right.get(), 0) == 0; }

  Matrix matrix;
  Vector right, x;
  LinearSolver klu;
};

/// Surfaces are balanced to this share of the tolerance.
constexpr double balance_share = 1e-3;
constexpr int most_corrections = 20;
/// Corrections by an old matrix of the surfaces before each gets a new one.
constexpr int patience = 3;
/// Corrections that do not become smaller are halved, down to this share: coefficients of natural
/// convection have a kink where a surface is as warm as the air.
constexpr double least_share = 1.0 / 16;
constexpr double largest_correction = 10;  // K

struct CvodePeer : PeerSystem {
  CvodePeer(const Problem& p, const PeerSettings& s, SUNContext context)
      : PeerSystem(p, s, false),
        pattern(balance, context),
        whole(pattern.make_whole(), s.ordering, context),
        surfaces(pattern.make_surfaces(), PeerSettings::Ordering::amd, context) {
    fill(0, 1);
    factor_surfaces();
  }

  /// Fills the matrix of cells and surfaces from the state as it is.
  void fill(double time, double gamma) {
    balance.evaluate(state, conditions(time), rates);
    balance.conductances(couplings);
    pattern.fill(whole.matrix.get(), balance, state, couplings, 1, gamma);
  }
  /// Takes over the surfaces' matrix from that of all.
  bool factor_surfaces() {
    pattern.take_surfaces(surfaces.matrix.get(), whole.matrix.get());
    return surfaces.factor();
  }

  bool balance_surfaces(double time) override {
    if (!settings.fronts_by_step) balance.place_fronts(state);
    bool done = correct_surfaces(time, patience);
    if (!done) {
      state.surface = balanced;
      done = correct_surfaces(time, 0);
    }
    if (done) {
      balanced = state.surface;
    } else {
      state.surface = balanced;
    }
    return done;
  }

  /// Newton's method for the surfaces from where they are, its first corrections by an old matrix.
  bool correct_surfaces(double time, int by_old_matrix) {
    const double bar = balance_share * settings.tolerance;
    double before = std::numeric_limits<double>::infinity();
    double share = 1;
    for (int i = 0; i < most_corrections; ++i) {
      if (i < by_old_matrix) {
        balance.evaluate(state, conditions(time), rates);
      } else {
        fill(time, 1);
        if (!factor_surfaces()) return false;
      }
      std::copy(rates.surfaces.begin(), rates.surfaces.end(),
                N_VGetArrayPointer(surfaces.right.get()));
      if (!surfaces.solve()) return false;
      const double* change = N_VGetArrayPointer(surfaces.x.get());
      double most = 0;
      for (int h = 0; h < balance.hubs(); ++h) most = std::max(most, std::abs(change[h]));
      if (!std::isfinite(most)) return false;
      if (most <= bar) return true;
      share = most < before ? 1 : std::max(share / 2, least_share);
      before = most;
      const double part = std::min(share, largest_correction / most);
      for (int h = 0; h < balance.hubs(); ++h) state.surface[h] += part * change[h];
    }
    return false;
  }

  SectionMatrix pattern;
  Factored whole, surfaces;
  std::vector<double> couplings;
  Eigen::VectorXd balanced = state.surface;  ///< surfaces of the last success, K
};

CvodePeer& peer_of(SUNMatrix matrix) { return content_of<CvodePeer>(matrix); }

int set_up(SUNLinearSolver, SUNMatrix matrix) {
  CvodePeer& peer = peer_of(matrix);
  return peer.whole.factor() && peer.factor_surfaces() ? 0 : 1;
}
int solve(SUNLinearSolver, SUNMatrix matrix, N_Vector x, N_Vector right, realtype) {
  CvodePeer& peer = peer_of(matrix);
  const int n = peer.cells();
  const double* r = N_VGetArrayPointer(right);
  double* all = N_VGetArrayPointer(peer.whole.right.get());
  std::copy(r, r + n, all);
  std::fill(all + n, all + n + peer.balance.hubs(), 0.0);
  if (!peer.whole.solve()) return 1;
  const double* change = N_VGetArrayPointer(peer.whole.x.get());
  std::copy(change, change + n, N_VGetArrayPointer(x));
  for (int h = 0; h < peer.balance.hubs(); ++h) peer.state.surface[h] += change[n + h];
  return 0;
}
/// CVODE has just evaluated the rates at `y`: the surfaces are those of it.
int cvode_matrix(double time, N_Vector y, N_Vector, SUNMatrix matrix, booleantype,
                 booleantype* current, double gamma, void*, N_Vector, N_Vector, N_Vector) {
  CvodePeer& peer = peer_of(matrix);
  peer.take(N_VGetArrayPointer(y));
  peer.fill(time, gamma);
  *current = SUNTRUE;
  return 0;
}

struct IdaPeer : PeerSystem {
  IdaPeer(const Problem& p, const PeerSettings& s, SUNContext context)
      : PeerSystem(p, s, true), pattern(balance, context) {}

  SectionMatrix pattern;
  std::vector<double> couplings;
};

int ida_matrix(double time, double cj, N_Vector y, N_Vector, N_Vector, SUNMatrix matrix, void* data,
               N_Vector, N_Vector, N_Vector) {
  auto& peer = static_cast<IdaPeer&>(system_of(data));
  peer.take(N_VGetArrayPointer(y));
  peer.balance.evaluate(peer.state, peer.conditions(time), peer.rates);
  peer.balance.conductances(peer.couplings);
  peer.pattern.fill(matrix, peer.balance, peer.state, peer.couplings, cj, 1);
  return 0;
}

}  // namespace

Answer section_by_cvode(const Problem& problem, const PeerSettings& settings) {
  const Context context = make_context();
  CvodePeer peer(problem, settings, context.get());
  const Matrix matrix = make_own_matrix(&peer, context.get());
  const LinearSolver solver = make_own_solver(set_up, solve, context.get());
  return march_by_cvode(peer, context.get(), matrix.get(), solver.get(), cvode_matrix);
}

Answer section_by_ida(const Problem& problem, const PeerSettings& settings) {
  const Context context = make_context();
  IdaPeer peer(problem, settings, context.get());
  const Matrix matrix = peer.pattern.make_whole();
  const Vector like(N_VNew_Serial(peer.unknowns(), context.get()));
  const LinearSolver solver = make_klu(like.get(), matrix.get(), settings.ordering, context.get());
  return march_by_ida(peer, context.get(), matrix.get(), solver.get(), ida_matrix);
}

}  // namespace thawline::validation
