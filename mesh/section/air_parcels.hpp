#pragma once

#include <vector>

#include "mesh/air_space.hpp"
#include "mesh/network_builder.hpp"
#include "mesh/section/layout.hpp"

namespace thawline::mesh::section {

/// The air of a section cut into parcels, each of one temperature, that conduct to their
/// neighbours; where the lower one is the warmer they mix as well, so that cold air sinks and air
/// that is warmer above stays layered. Cans do not narrow them.
class AirParcels {
 public:
  /// Adds the parcels' hubs, `free_volume` (m3) in all, and the links between them: `conductivity`
  /// (W/m/K) times area over distance of the middles. Parcels are about 20 mm wide and end at the
  /// faces of packs.
  AirParcels(const Layout& layout, double conductivity, double free_volume, int material,
             const Start& start, NetworkBuilder& build);

  /// All of it, by volume.
  [[nodiscard]] AirSpace all() const;
  /// The parcel at a place, or the nearest one.
  [[nodiscard]] AirSpace at(double x, double z) const;
  /// What of it lies in a rectangle, by volume; the nearest parcel when there is none.
  [[nodiscard]] AirSpace within(double x0, double x1, double z0, double z1) const;

 private:
  struct Parcel {
    double x0 = 0, x1 = 0, z0 = 0, z1 = 0;  ///< m
    double volume = 0;                      ///< m3
    int hub = -1;
  };
  [[nodiscard]] double volume_between(double x0, double x1, double z0, double z1) const;

  Breadth breadth_;
  std::vector<Parcel> parcels_;
};

}  // namespace thawline::mesh::section
