#pragma once

#include <utility>
#include <vector>

#include "mesh/network.hpp"
#include "solver/heat/cell_states.hpp"
#include "solver/heat/face_flows.hpp"
#include "solver/heat/fronts.hpp"
#include "solver/heat/leftovers.hpp"
#include "solver/heat/link_flows.hpp"
#include "solver/heat/neighbours.hpp"
#include "solver/heat/state.hpp"

namespace thawline::solver {

/// The heat balance of a network, dH/dt = Σ G (T_j − T_i) + sources, with its generalised
/// derivatives: exact but for the change of conductivities and of the air's film properties with
/// temperature. Cell states, fronts and flows are parts of their own; columns and sections are the
/// same cells and faces. Equations and signs: EQUATIONS.md.
class HeatBalance {
 public:
  explicit HeatBalance(const mesh::Network& network);
  HeatBalance(const HeatBalance&) = delete;
  HeatBalance& operator=(const HeatBalance&) = delete;
  HeatBalance(HeatBalance&&) = delete;
  HeatBalance& operator=(HeatBalance&&) = delete;
  ~HeatBalance() = default;

  [[nodiscard]] const mesh::Network& network() const { return network_; }
  [[nodiscard]] int cells() const { return cells_.cells(); }
  [[nodiscard]] int hubs() const { return static_cast<int>(network_.hubs.size()); }
  [[nodiscard]] const EnthalpyCurve& curve(int cell) const { return cells_.curve(cell); }
  [[nodiscard]] double mass(int cell) const { return cells_.mass(cell); }
  [[nodiscard]] bool is_surface(int hub) const {
    return network_.hubs[static_cast<std::size_t>(hub)].cell < 0;
  }

  [[nodiscard]] State zero_state() const;
  [[nodiscard]] Rates zero_rates() const;
  /// Cells at their start; surfaces at a guess that `balance_surfaces` of the march makes exact.
  [[nodiscard]] State start_state() const;

  [[nodiscard]] bool present(int item) const {
    return item < 0 || present_[static_cast<std::size_t>(item)];
  }
  void set_present(int item, bool present);

  /// Places the fronts of all sharply melting cells; kept until called again.
  void place_fronts(const State& state) { fronts_.place_all(state, cells_); }
  /// Whether any cell melts at one temperature.
  [[nodiscard]] bool has_fronts() const { return fronts_.any(); }
  /// Keeps the resistances of cells as they were evaluated last, until told otherwise: what is left
  /// is a monotone problem.
  void hold_fronts(bool hold) { held_ = hold; }

  /// Fills `rates`, and what stands below at this state.
  void evaluate(const State& state, const Conditions& conditions, Rates& rates);
  [[nodiscard]] const CellStates& cell_states() const { return cells_; }
  [[nodiscard]] const FaceFlows& faces() const { return faces_; }
  [[nodiscard]] const LinkFlows& links() const { return links_; }

  /// Pairs of unknowns that exchange heat: by face, by link, by source. Unknowns are the cells,
  /// then the surface hubs as cells() + hub; second −1 for the outside.
  [[nodiscard]] std::vector<std::pair<int, int>> coupled_pairs() const;
  /// The conductance of every pair at the state evaluated last, W/K: where a link's derivatives by
  /// either end differ their mean, 0 where it is not in force.
  void conductances(std::vector<double>& by_pair) const;

  /// Gives what is left over at each surface to the cell behind it (see leftovers.hpp).
  void keep_leftovers(Rates& rates) const;

  /// State of a cell that holds `enthalpy`, J.
  [[nodiscard]] ThermalState thermal_state(double enthalpy, int cell) const {
    return cells_.state_of(enthalpy, cell);
  }
  [[nodiscard]] ThermalState thermal_state(const State& state, int cell) const {
    return cells_.state_of(state.enthalpy[cell], cell);
  }
  /// Specific enthalpy (J/kg) that a cell holding `enthalpy` (J) lacks until all of it is liquid; ≤
  /// 0 when it is. A cell with a front in it is done when the front has reached its far face, by
  /// when its liquid part has been superheated too.
  [[nodiscard]] double missing_to_liquid(double enthalpy, int cell) const {
    const MixedCell& mixed = cells_.mixed[static_cast<std::size_t>(cell)];
    const double done = mixed.is_placed() ? mixed.span().to : curve(cell).liquid_from();
    return done - enthalpy / mass(cell);
  }
  [[nodiscard]] double hub_temperature(const State& state, int hub) const;

 private:
  mesh::Network network_;
  std::vector<Neighbours> neighbours_;
  CellStates cells_;
  Fronts fronts_;
  FaceFlows faces_;
  LinkFlows links_;
  std::vector<Leftover> leftovers_;
  std::vector<bool> present_;
  bool held_ = false;  ///< resistances stay as they are
};

}  // namespace thawline::solver
