#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>

#include "mesh/air_space.hpp"
#include "mesh/network.hpp"

namespace thawline::mesh {

/// Adds cells, hubs and links to a network piece by piece. Lumped cells are kept apart until
/// `finish`, which puts them behind the chain cells.
class NetworkBuilder {
 public:
  /// Cell in the middle of a pack that lies in the grid, and the surface above or beside it.
  struct MiddleOfItem {
    int cell = -1, surface = -1;
  };

  NetworkBuilder(Network& network, const Resolution& resolution);

  [[nodiscard]] int add_material(const cases::Material& material, double liquid_mixing);
  [[nodiscard]] int part(const std::string& name);
  [[nodiscard]] int path(const std::string& name);

  int add_lumped(const std::string& name, int material, double volume, int part, int item,
                 const Start& start);
  int add_surface(const std::string& name, int item);

  void begin_column(const std::string& name, int inner_hub, int outer_hub, int item);
  /// A layer of melting material of constant area, uniform cells.
  void add_melting_layer(int material, double thickness, double area, int part, const Start& start);
  /// Wall layers with the area law A(y) = area + slope y; starts linear between the temperatures.
  /// Each layer is a part called `prefix` and its material.
  void add_wall_layers(const cases::Wall& wall, double area, double slope, double gap_convection,
                       const std::string& prefix, double inside, double outside);
  /// Rings of equal width filling `volume`, their outer surface scaled to `surface` (m2).
  void add_rings(int material, double volume, double surface, int part, const Start& start);
  void add_solid_slice(int material, double thickness, double area, int part, const Start& start);
  void end_column();

  [[nodiscard]] Link conductance(int a, int b, double watt_per_kelvin) const;
  /// Natural convection, or a given coefficient (W/m2/K) where there is one.
  [[nodiscard]] Link convection(int a, int b, double area, double length, Facing facing,
                                std::optional<double> coefficient) const;
  [[nodiscard]] Link radiation(int a, int b, double emissive_area) const;
  [[nodiscard]] Link to_outside(int a, Outside outside, Law law, double conductance,
                                int path) const;
  void add(const Link& link);
  /// A cover whose share is `share_at` (of the liquid fraction of the body at `hub`), to a
  /// thousandth.
  [[nodiscard]] int add_cover(int hub, const std::function<double(double)>& share_at);
  /// A region of one lumped cell, that of `hub`.
  void add_region_of_hub(Region region, int hub);
  void add_region(const Region& region);
  void set_middle(int item, const MiddleOfItem& middle) { middles_[item] = middle; }

  /// The probe called `name` (see cases::probe_names).
  [[nodiscard]] Probe probe(const std::string& name, const AirSpace& air) const;

  /// Renumbers the lumped cells and fills items; call once, last.
  void finish();

 private:
  void add_cells(int material, double thickness, int count, double area, double slope, double y0,
                 int part, const Start& inner, const Start& outer);
  [[nodiscard]] int cells_of_layer(double thickness, double target, int least, int most) const;

  Network& network_;
  Resolution resolution_;
  /// Index a lumped hub's cell will have; right once all other cells are there.
  [[nodiscard]] int cell_of(int hub) const;
  [[nodiscard]] std::optional<Probe> extreme_of_rows(const std::string& name) const;

  std::vector<Cell> lumped_;
  std::vector<int> region_hub_;  ///< by region; −1 where its cells are those of a column
  std::map<int, MiddleOfItem> middles_;
  Column column_;
  std::map<int, ClosedGap> gaps_;  ///< of the column, by the cell inward of it
  double depth_ = 0;
};

}  // namespace thawline::mesh
