#include "mesh/loose_bed.hpp"

#include <algorithm>
#include <cmath>

#include "mesh/standing.hpp"

namespace thawline::mesh {

namespace {

/// m2 of the floor above which no contents reach through `level` (m).
double free_area(const LooseBed& bed, double level) {
  double free = bed.floor_area;
  for (const auto& s : bed.standing) free -= s.height > level ? s.footprint : 0;
  return free;
}

double bulk_volume(const LooseBed& bed, double liquid_fraction) {
  const double pieces = bed.solid_volume * (1 - liquid_fraction);
  const double bulk = pieces / cases::loose_packing;
  if (bed.drained) return bulk;
  return std::max(bulk, pieces + bed.liquid_volume * liquid_fraction);
}

}  // namespace

LooseBed loose_bed(const cases::Case& c, const cases::Coolant& coolant) {
  LooseBed bed;
  bed.floor_area = inside_floor_area(c.box);
  bed.height = inside_height(c.box);
  bed.solid_volume = volume_of(coolant);
  bed.liquid_volume = coolant.mass / coolant.material.density_liquid;
  bed.drained = coolant.melt_water == cases::MeltWater::drained;
  if (coolant.place != cases::Place::around_payload) {
    for (std::size_t p = 0; p < c.payloads.size(); ++p) bed.stood_on += area_on_bed(c, p);
    bed.stood_on = std::min(bed.stood_on, bed.floor_area);
    return bed;
  }
  for (const Footprint& f : footprints_of(c)) bed.standing.push_back({f.area, f.height});
  return bed;
}

double level_of(const LooseBed& bed, double liquid_fraction) {
  double left = bulk_volume(bed, std::clamp(liquid_fraction, 0.0, 1.0));
  double level = 0;
  // From one top of contents to the next; between them the free area is constant.
  std::vector<double> tops{bed.height};
  for (const auto& s : bed.standing) tops.push_back(std::min(s.height, bed.height));
  std::sort(tops.begin(), tops.end());
  for (const double top : tops) {
    const double free = free_area(bed, level);
    const double room = (top - level) * free;
    if (left <= room) return level + left / free;
    left -= room;
    level = top;
  }
  return bed.height;
}

double free_floor(const LooseBed& bed, double liquid_fraction) {
  return (free_area(bed, level_of(bed, liquid_fraction)) - bed.stood_on) / bed.floor_area;
}

double floor_share(const LooseBed& bed, double liquid_fraction) {
  const double layers = level_of(bed, liquid_fraction) / one_piece;
  const double pieces = std::min(1.0, std::cbrt(layers * layers));
  if (bed.drained) return pieces;
  const double water = bed.liquid_volume * liquid_fraction / bed.floor_area;
  return std::min(1.0, pieces + water / film_of_water);
}

double share_below(const LooseBed& bed, double liquid_fraction, double bottom, double top) {
  return std::clamp((level_of(bed, liquid_fraction) - bottom) / (top - bottom), 0.0, 1.0);
}

double wetness(double liquid_fraction, double wet) {
  const double dry = std::min(dry_contact, wet) / wet;
  return dry + (1 - dry) * std::clamp(liquid_fraction / 0.02, 0.0, 1.0);
}

}  // namespace thawline::mesh
