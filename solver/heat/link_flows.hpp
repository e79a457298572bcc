#pragma once

#include <vector>

#include "solver/heat/cell_states.hpp"
#include "solver/heat/laws/link_heat.hpp"
#include "solver/heat/laws/source_law.hpp"

namespace thawline::solver {

/// Heat along the links and of the sources, by index into Network::links and Network::sources.
class LinkFlows {
 public:
  /// Borrows the network. All items count as present until told otherwise.
  explicit LinkFlows(const mesh::Network& network);

  /// Which items are in the box.
  void set_present(const std::vector<bool>& items);
  [[nodiscard]] bool in_force(std::size_t link) const { return in_force_[link] != 0; }
  /// Unknowns at the ends of a link; b −1 for the outside.
  [[nodiscard]] int a(std::size_t link) const { return ends_[link].a; }
  [[nodiscard]] int b(std::size_t link) const { return ends_[link].b; }
  /// The cell whose melting covers it; −1: none.
  [[nodiscard]] int body(std::size_t link) const { return ends_[link].body; }
  /// The unknown a source heats.
  [[nodiscard]] int heated(std::size_t k) const { return heated_[k]; }

  /// Fills what follows and adds it to `rates`.
  void evaluate(const CellStates& cells, const Conditions& conditions, Rates& rates);

  std::vector<LinkHeat> heat;      ///< of links; nothing where one is not in force
  std::vector<double> by_cover;    ///< W/J, ∂q/∂(enthalpy of the body that covers a link)
  std::vector<SourceHeat> source;  ///< of sources, likewise

 private:
  struct Ends {
    int a = 0, b = -1, body = -1;
  };
  void evaluate_link(std::size_t link, const CellStates& cells, const Conditions& conditions);

  const mesh::Network& network_;
  std::vector<Ends> ends_;
  std::vector<int> heated_;
  std::vector<char> in_force_, source_in_force_;
};

}  // namespace thawline::solver
