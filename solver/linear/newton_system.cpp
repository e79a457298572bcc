#include "solver/linear/newton_system.hpp"

#include "solver/linear/cholesky_solver.hpp"
#include "solver/linear/column_system.hpp"
#include "solver/linear/multigrid_solver.hpp"
#include "solver/linear/section_system.hpp"

namespace thawline::solver {

namespace {

LinearMethod suitable(const HeatBalance& balance) {
  if (balance.network().grid.count == 0) return LinearMethod::bordered;
  const int unknowns = balance.cells() + balance.hubs();
  return unknowns <= direct_up_to ? LinearMethod::cholesky : LinearMethod::multigrid;
}

TensorGrid tensor_of(const mesh::Grid& grid) {
  TensorGrid tensor;
  tensor.columns = grid.x.empty() ? 0 : static_cast<int>(grid.x.size()) - 1;
  tensor.rows = grid.z.empty() ? 0 : static_cast<int>(grid.z.size()) - 1;
  tensor.first = grid.first;
  tensor.count = grid.count;
  for (const int cell : grid.cell) tensor.used.push_back(cell >= 0 ? 1 : 0);
  return tensor;
}

}  // namespace

std::unique_ptr<NewtonSystem> make_newton_system(const HeatBalance& balance, LinearMethod method) {
  if (method == LinearMethod::by_structure) method = suitable(balance);
  if (method == LinearMethod::bordered) return std::make_unique<ColumnSystem>(balance);
  const auto pairs = balance.coupled_pairs();
  const int unknowns = balance.cells() + balance.hubs();
  std::unique_ptr<ConductanceSolver> solver;
  if (method == LinearMethod::cholesky) {
    solver = std::make_unique<CholeskySolver>(unknowns, pairs);
  } else {
    solver = std::make_unique<MultigridSolver>(unknowns, pairs, tensor_of(balance.network().grid),
                                               balance.cells());
  }
  return std::make_unique<SectionSystem>(balance, std::move(solver));
}

}  // namespace thawline::solver
