#include "mesh/section/air_parcels.hpp"

#include <algorithm>
#include <cmath>

#include "mesh/inside_air.hpp"

namespace thawline::mesh::section {

namespace {

constexpr double parcel_size = 20e-3;  // m
constexpr double slack = 1e-7;         // m

/// Lines from 0 to `end` through `faces`, with even parcels of about `parcel_size` between them.
std::vector<double> lines_between(double end, std::vector<double> faces) {
  std::erase_if(faces, [&](double f) { return f < slack || f > end - slack; });
  faces.push_back(end);
  std::sort(faces.begin(), faces.end());
  std::vector<double> lines{0};
  for (const double to : faces) {
    const double from = lines.back();
    if (to - from < slack) continue;
    const int count = std::max(1, static_cast<int>(std::lround((to - from) / parcel_size)));
    for (int i = 1; i <= count; ++i) lines.push_back(from + (to - from) * i / count);
  }
  return lines;
}

bool in_a_pack(const Layout& layout, double x, double z) {
  return std::any_of(layout.packs.begin(), layout.packs.end(), [&](const PackPlace& p) {
    return x > p.x0 && x < p.x1 && z > p.z0 && z < p.z1;
  });
}

/// Heat that buoyancy carries up between layers of air whose middles are `distance` (m) apart, in
/// air of `height` (m), W/m2 per K^(3/2) by which the lower one is the warmer. Prandtl's mixing
/// length l: q = ρ c l² √(g/T |dT/dz|) |dT/dz| (L. Prandtl 1925; with buoyancy, C. H. B. Priestley,
/// Aust. J. Phys. 7 (1954) 176; both from memory). l is taken as von Kármán's constant 0.4 times
/// the height: an assumption, by which air that is colder above mixes within a minute.
double buoyant_mixing(double height, double distance) {
  constexpr double gravity = 9.80665;                           // m/s2
  constexpr double temperature = 283.15;                        // K
  constexpr double capacity = air_density * air_heat_capacity;  // J/m3/K
  const double mixing_length = 0.4 * height;
  return capacity * mixing_length * mixing_length * std::sqrt(gravity / temperature / distance) /
         distance;
}

double overlap(double a0, double a1, double b0, double b1) {
  return std::max(0.0, std::min(a1, b1) - std::max(a0, b0));
}

}  // namespace

AirParcels::AirParcels(const Layout& layout, double conductivity, double free_volume, int material,
                       const Start& start, NetworkBuilder& build)
    : breadth_(layout.breadth) {
  std::vector<double> x_faces;
  std::vector<double> z_faces;
  for (const PackPlace& pack : layout.packs) {
    x_faces.insert(x_faces.end(), {pack.x0, pack.x1});
    z_faces.insert(z_faces.end(), {pack.z0, pack.z1});
  }
  const std::vector<double> x = lines_between(layout.half_width, x_faces);
  const std::vector<double> z = lines_between(layout.height, z_faces);
  double all = 0;
  const std::size_t columns = x.size() - 1;
  std::vector<int> index(columns * (z.size() - 1), -1);
  for (std::size_t k = 0; k + 1 < z.size(); ++k) {
    for (std::size_t i = 0; i < columns; ++i) {
      if (in_a_pack(layout, (x[i] + x[i + 1]) / 2, (z[k] + z[k + 1]) / 2)) continue;
      index[k * columns + i] = static_cast<int>(parcels_.size());
      parcels_.push_back(
          {x[i], x[i + 1], z[k], z[k + 1], volume_between(x[i], x[i + 1], z[k], z[k + 1]), -1});
      all += parcels_.back().volume;
    }
  }
  const int part = build.part("air space");
  for (Parcel& p : parcels_) {
    p.hub = build.add_lumped("air", material, free_volume * p.volume / all, part, -1, start);
    build.add_region_of_hub({p.x0, p.x1, p.z0, p.z1}, p.hub);
  }
  const auto hub = [&](int parcel) { return parcels_[static_cast<std::size_t>(parcel)].hub; };
  // Height of the air above and below each parcel without a pack between, m.
  std::vector<double> air_height(index.size(), 0);
  for (std::size_t i = 0; i < columns; ++i) {
    for (std::size_t k = 0; k + 1 < z.size();) {
      std::size_t end = k;
      while (end + 1 < z.size() && index[end * columns + i] >= 0) ++end;
      for (std::size_t m = k; m < end; ++m) air_height[m * columns + i] = z[end] - z[k];
      k = std::max(end, k + 1);
    }
  }
  for (std::size_t k = 0; k + 1 < z.size(); ++k) {
    for (std::size_t i = 0; i < columns; ++i) {
      const int here = index[k * columns + i];
      if (i + 1 < columns) {
        const double middle = (x[i] + x[i + 1]) / 2;
        const double next = (x[i + 1] + x[i + 2]) / 2;
        const double shape = 1 / across(breadth_, middle, next);
        const int beside = index[k * columns + i + 1];
        if (here >= 0 && beside >= 0) {
          build.add(
              build.conductance(hub(here), hub(beside), conductivity * shape * (z[k + 1] - z[k])));
        }
      }
      if (k + 2 < z.size()) {
        const double distance = (z[k + 2] - z[k]) / 2;
        const double area = volume_between(x[i], x[i + 1], 0, 1);
        const int above = index[(k + 1) * columns + i];
        if (here >= 0 && above >= 0) {
          Link layers = build.conductance(hub(here), hub(above), conductivity * area / distance);
          layers.law = Law::air_layers;
          layers.mixing = area * buoyant_mixing(air_height[k * columns + i], distance);
          build.add(layers);
        }
      }
    }
  }
}

double AirParcels::volume_between(double x0, double x1, double z0, double z1) const {
  return breadth_.area(x0, x1) * (z1 - z0);
}

AirSpace AirParcels::all() const { return within(0, 1e3, -1e3, 1e3); }

AirSpace AirParcels::at(double x, double z) const { return within(x, x, z, z); }

AirSpace AirParcels::within(double x0, double x1, double z0, double z1) const {
  AirSpace found;
  double sum = 0;
  int nearest = -1;
  double least = 1e300;
  for (const Parcel& p : parcels_) {
    const double share = overlap(p.x0, p.x1, x0, x1) > 0 && overlap(p.z0, p.z1, z0, z1) > 0
                             ? volume_between(std::max(p.x0, x0), std::min(p.x1, x1),
                                              std::max(p.z0, z0), std::min(p.z1, z1))
                             : 0;
    if (share > 0) found.push_back({p.hub, share});
    sum += share;
    const double beside = std::max({p.x0 - x1, x0 - p.x1, 0.0});
    const double beyond = std::max({p.z0 - z1, z0 - p.z1, 0.0});
    const double distance = std::hypot(beside, beyond);
    if (distance < least) nearest = p.hub;
    least = std::min(least, distance);
  }
  if (found.empty()) return {{nearest, 1}};
  for (AirShare& part : found) part.share /= sum;
  return found;
}

}  // namespace thawline::mesh::section
