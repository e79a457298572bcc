#pragma once

#include <vector>

#include "solver/linear/bordered_system.hpp"
#include "solver/linear/newton_system.hpp"

namespace thawline::solver {

/// Newton's linear system of columns that meet at hubs, every derivative in it: tridiagonal blocks
/// bordered by the hubs, among them the lumped bodies.
class ColumnSystem : public NewtonSystem {
 public:
  explicit ColumnSystem(const HeatBalance& balance);

  void assemble(const HeatBalance& balance, double scale) override;
  [[nodiscard]] bool solve(Eigen::VectorXd& unknowns, double tolerance) override;
  [[nodiscard]] double surface_conductance(int hub) const override { return surface_[hub]; }
  /// The matrix as assembled last; lost with the first solution.
  [[nodiscard]] const BorderedSystem& matrix() const { return matrix_; }

 private:
  /// Of a face: between two cells, or at an end of a block.
  struct Entries {
    int a = 0, b = 0;  ///< unknowns
    int hub = -1;      ///< in place of the cell a (inner end) or b (outer end)
    int block = 0;
    bool inner = false;
  };
  void add_faces(const HeatBalance& balance, double scale);
  void add_links(const HeatBalance& balance, double scale);
  void add_sources(const HeatBalance& balance, double scale);
  /// Row of a hub: those of lumped bodies are scaled like cells, those of surfaces are not.
  [[nodiscard]] double row_scale(int hub, double scale) const {
    return unknown_[static_cast<std::size_t>(hub)] < cells_ ? scale : 1;
  }

  int cells_;
  std::vector<int> unknown_;  ///< by hub
  std::vector<Entries> faces_;
  BorderedSystem matrix_;
  Eigen::VectorXd hubs_, surface_;
  bool factored_ = false;
};

}  // namespace thawline::solver
