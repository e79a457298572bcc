#pragma once

#include <utility>
#include <vector>

#include "mesh/network.hpp"
#include "solver/heat/enthalpy_curve.hpp"
#include "solver/heat/front.hpp"
#include "solver/heat/grid_heat.hpp"
#include "solver/heat/mixed_cell.hpp"
#include "solver/heat/state.hpp"
#include "solver/linear/bordered_system.hpp"

namespace thawline::solver {

/// The heat balance of a network, dH/dt = Σ G (T_j − T_i), with its generalised Jacobian: exact but
/// for the change of conductivities and of the air's film properties with temperature.
/// Equations and signs: EQUATIONS.md.
class HeatBalance {
 public:
  explicit HeatBalance(const mesh::Network& network);

  [[nodiscard]] const mesh::Network& network() const { return network_; }
  [[nodiscard]] int cells() const { return static_cast<int>(network_.cells.size()); }
  [[nodiscard]] int hubs() const { return static_cast<int>(network_.hubs.size()); }
  [[nodiscard]] const EnthalpyCurve& curve(int cell) const {
    return curves_[static_cast<std::size_t>(
        network_.cells[static_cast<std::size_t>(cell)].material)];
  }
  [[nodiscard]] double mass(int cell) const { return mass_[static_cast<std::size_t>(cell)]; }
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
  void set_present(int item, bool present) {
    present_[static_cast<std::size_t>(item)] = present;
    find_links_in_force();
    find_keepers();
  }

  /// Decides for each sharply melting cell on which side its liquid lies, and how warm and cold its
  /// parts are beside a front in it or next to it; kept until called again.
  void place_fronts(const State& state);

  /// Fills `rates`. With `jacobian` also the matrix M − scale ∂(rates)/∂(unknowns), where M is 1
  /// for cells and 0 for surfaces (whose rows are −∂(left over), unscaled).
  void evaluate(const State& state, const Conditions& conditions, Rates& rates,
                BorderedSystem* jacobian, double scale);

  /// The same for a network with a section: `couplings` gets the conductance of every pair that
  /// exchanges heat, in the order of `coupled_pairs` (0 where none is in force).
  void evaluate(const State& state, const Conditions& conditions, Rates& rates,
                std::vector<double>& couplings);

  /// The pairs of unknowns that exchange heat. Unknowns are the cells, then the surface hubs as
  /// cells() + hub; second −1 for the outside.
  [[nodiscard]] std::vector<std::pair<int, int>> coupled_pairs() const;
  /// dT/dH by cell, K/J, at the last state evaluated.
  [[nodiscard]] const std::vector<double>& slopes() const { return slope_; }
  /// ∂(rate of a cell)/∂(its enthalpy) through its own resistances, 1/s, at the last state
  /// evaluated with couplings; 0 for a cell that is not in the grid.
  [[nodiscard]] double own_slope(int cell) const {
    const int k = cell - network_.grid.first;
    return k >= 0 && k < network_.grid.count ? grid_.own_slope[static_cast<std::size_t>(k)] : 0;
  }
  /// What is known of the grid's cells and faces at the last state evaluated with couplings.
  [[nodiscard]] const GridHeat& grid_heat() const { return grid_; }
  /// Keeps the resistances of cells as they were evaluated last, until told otherwise: what is left
  /// is a monotone problem.
  void hold_fronts(bool hold);
  [[nodiscard]] bool has_section() const { return network_.grid.count > 0; }
  /// Whether any cell melts at one temperature.
  [[nodiscard]] bool has_fronts() const { return has_fronts_; }

  /// Gives what is left over at each surface to the cell behind it, so that a balance known to a
  /// tolerance still conserves energy to round-off. Where several surfaces meet without a cell, as
  /// in the long-wave exchange, the cells behind them share it by their links.
  void keep_leftovers(Rates& rates) const;

  /// State of a cell that holds `enthalpy`, J.
  [[nodiscard]] ThermalState thermal_state(double enthalpy, int cell) const {
    const double h = enthalpy / mass(cell);
    const MixedCell& mixed = mixed_[static_cast<std::size_t>(cell)];
    return mixed.holds(h) ? mixed.at(h) : curve(cell).at(h);
  }
  [[nodiscard]] ThermalState thermal_state(const State& state, int cell) const {
    return thermal_state(state.enthalpy[cell], cell);
  }
  /// Specific enthalpy (J/kg) that a cell holding `enthalpy` (J) lacks until all of it is liquid; ≤
  /// 0 when it is. A cell with a front in it is done when the front has reached its far face, by
  /// when its liquid part has been superheated too.
  [[nodiscard]] double missing_to_liquid(double enthalpy, int cell) const {
    const MixedCell& mixed = mixed_[static_cast<std::size_t>(cell)];
    const double done = mixed.is_placed() ? mixed.span().to : curve(cell).liquid_from();
    return done - enthalpy / mass(cell);
  }
  /// A cell's enthalpy (J) after a Newton step from `from` to `to`: a cell that leaves an
  /// isothermal melt is held at its end, where the slope of T(h) changes most.
  [[nodiscard]] double held_back(int cell, double from, double to) const {
    return straight_[static_cast<std::size_t>(cell)] != 0 ? to : held_in_melt(cell, from, to);
  }

  /// The same, and a cell that comes to its sharp melt from outside is stopped just inside.
  [[nodiscard]] double stopped_at_melt(int cell, double from, double to) const;

  /// After how many seconds a cell that holds `enthalpy` (J) and takes up `watt` comes to the next
  /// end of its isothermal melt; infinite where none lies ahead.
  [[nodiscard]] double time_to_kink(int cell, double enthalpy, double watt) const;

  [[nodiscard]] double hub_temperature(const State& state, int hub) const;

  [[nodiscard]] BorderedSystem make_system() const;

 private:
  /// 1/k of the phases of a material, m K/W; fixed where k does not depend on temperature.
  struct Resistivity {
    double solid = 0, liquid = 0;
    bool fixed = false;
  };
  /// A cell that takes a share of what is left over at a surface.
  struct Keeper {
    int hub = -1, cell = -1;
    double share = 1;
  };
  [[nodiscard]] double held_in_melt(int cell, double from, double to) const;
  void set_constants();
  void find_keepers();
  void update_cells(const State& state);
  void update_resistances(int cell);
  void orient_fronts(const mesh::Column& column, const State& state);
  void set_front_sides(const mesh::Column& column, const State& state);
  [[nodiscard]] FrontSides front_sides(const mesh::Column& column, int cell,
                                       const State& state) const;
  /// What lies beside a melting cell: the next cell of the same material, a hub, or nothing of use.
  struct FrontNeighbour {
    int cell = -1, hub = -1;
  };
  /// `axis` −1: along a column; 0, 1: along x, z of the grid.
  [[nodiscard]] FrontSides front_sides(int cell, const FrontNeighbour& to_liquid,
                                       const FrontNeighbour& to_solid, int axis,
                                       const State& state) const;
  [[nodiscard]] HalfResistances half_resistances(int cell) const;
  [[nodiscard]] Resistivity resistivity(int material, double temperature, double fraction) const;
  void add_column(std::size_t index, const State& state, Rates& rates, BorderedSystem* jacobian,
                  double scale) const;
  void add_link(const mesh::Link& link, const Conditions& conditions, Rates& rates,
                BorderedSystem* jacobian, double scale) const;
  void add_source(const mesh::Source& source, const Conditions& conditions, Rates& rates,
                  BorderedSystem* jacobian, double scale) const;
  [[nodiscard]] bool in_force(const mesh::Link& link) const;
  void find_links_in_force();
  void update_hubs(const State& state);
  void add_to_hub(int hub, double watt, Rates& rates) const;

  void prepare_grid();
  void update_grid_resistances();
  [[nodiscard]] double face_resistance(const mesh::GridFace& face) const;
  void add_grid_faces(const State& state, Rates& rates);
  void place_grid_fronts(const State& state);
  /// Notes a conductance for the sparse system of a section.
  void note(double conductance) const {
    if (couplings_ != nullptr) couplings_->push_back(conductance);
  }

  mesh::Network network_;
  std::vector<EnthalpyCurve> curves_;
  std::vector<Resistivity> resistivity_;  ///< by material, where it is fixed
  std::vector<double> mass_;
  std::vector<std::size_t> piece_;  ///< of its enthalpy curve, where each cell was last
  std::vector<Keeper> keepers_;     ///< of all surfaces, by hub
  std::vector<bool> present_;
  std::vector<char> in_force_;  ///< by link
  std::vector<FrontPlace> fronts_;
  std::vector<MixedCell> mixed_;
  std::vector<FrontSides> began_;      ///< when each cell was last of one phase
  std::vector<int> inward_, outward_;  ///< cells to the other phase, for orient_fronts
  std::vector<char> straight_;         ///< 1 where T(h) is straight; slopes are set once
  std::vector<double> zero_;           ///< K, temperature of a straight cell that holds nothing
  std::vector<char> constant_;         ///< 1 where the half resistances never change
  std::vector<double> conductance_;    ///< W/K from chain cell i to i + 1 where it never changes
  // Evaluated per cell by update_cells.
  std::vector<double> temperature_, slope_, fraction_, fraction_slope_;
  std::vector<double> inner_r_, outer_r_, inner_r_slope_, outer_r_slope_;
  // Evaluated per hub by update_hubs.
  std::vector<int> hub_cell_;                        ///< −1 for a surface
  std::vector<double> hub_temperature_, hub_slope_;  ///< slope 1 for a surface
  bool has_fronts_ = false;
  bool held_ = false;  ///< resistances stay as they are
  GridHeat grid_;
  std::vector<double>* couplings_ = nullptr;  ///< only while evaluating for a section
};

}  // namespace thawline::solver
