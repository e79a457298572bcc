#pragma once

#include <Eigen/Dense>
#include <memory>

#include "solver/heat/heat_balance.hpp"

namespace thawline::solver {

/// Newton's linear system of a stage of s seconds, M − s ∂(rates)/∂(unknowns) with M 1 for cells
/// and 0 for surfaces (whose rows are −∂(left over), unscaled). Each kind takes the same flows and
/// derivatives by face, link and source from the balance and assembles what it needs.
class NewtonSystem {
 public:
  NewtonSystem() = default;
  NewtonSystem(const NewtonSystem&) = delete;
  NewtonSystem& operator=(const NewtonSystem&) = delete;
  NewtonSystem(NewtonSystem&&) = delete;
  NewtonSystem& operator=(NewtonSystem&&) = delete;
  virtual ~NewtonSystem() = default;

  /// Takes over the state the balance evaluated last, for a stage of `scale` (s); 0 holds every
  /// cell. Allocates nothing.
  virtual void assemble(const HeatBalance& balance, double scale) = 0;

  /// Overwrites residuals by unknown (J of cells, W of surfaces; entries of lumped hubs are not
  /// used) by changes of enthalpy (J) and temperature (K), down to `tolerance` times the residual
  /// where it iterates. False when that fails. Further right-hand sides may follow.
  [[nodiscard]] virtual bool solve(Eigen::VectorXd& unknowns, double tolerance) = 0;

  /// Sum of the conductances at a surface hub as assembled last, W/K.
  [[nodiscard]] virtual double surface_conductance(int hub) const = 0;
  /// Of conjugate gradients so far; 0 where systems are factored.
  [[nodiscard]] virtual long iterations() const { return 0; }
};

enum class LinearMethod { by_structure, bordered, cholesky, multigrid };

/// Unknowns up to which Cholesky is faster than conjugate gradients with multigrid (measured, see
/// SECTIONS.md).
inline constexpr int direct_up_to = 1000;

/// The system that suits the network's structure: columns that meet at hubs are bordered
/// tridiagonal blocks; a section is factored by Cholesky while it is small, else solved by
/// conjugate gradients with multigrid. `method` asks for one of them; `bordered` needs a network
/// without a section, the other two suit any.
[[nodiscard]] std::unique_ptr<NewtonSystem> make_newton_system(
    const HeatBalance& balance, LinearMethod method = LinearMethod::by_structure);

}  // namespace thawline::solver
