#include "mesh/standing.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace thawline::mesh {

namespace {

bool has_loose_coolant(const cases::Case& c) {
  return std::any_of(c.coolants.begin(), c.coolants.end(), [](const cases::Coolant& coolant) {
    return coolant.form == cases::CoolantForm::loose;
  });
}

/// m2 that every pack covers of the floor, by coolant.
std::vector<double> covered_floor(const cases::Case& c) {
  std::vector<double> areas;
  for (const auto& coolant : c.coolants) {
    const bool on_floor =
        coolant.form == cases::CoolantForm::pack && coolant.place == cases::Place::floor;
    areas.push_back(on_floor ? volume_of(coolant) / coolant.thickness : 0);
  }
  return areas;
}

}  // namespace

Footprint footprint_of(const cases::Payload& payload, double floor_area, double height) {
  const double volume = volume_of(payload);
  double area = 0;
  if (const auto* cans = std::get_if<cases::Cans>(&payload.body)) {
    const double square = cans->diameter * cans->diameter;
    const double in_layer =
        std::clamp(std::floor(floor_area / square), 1.0, static_cast<double>(cans->count));
    area = in_layer * std::numbers::pi / 4 * square;
  } else {
    area = volume / std::get<cases::FoodBlock>(payload.body).thickness;
  }
  area = std::max(area, volume / height);
  return {area, volume / area};
}

std::vector<Footprint> footprints_of(const cases::Case& c) {
  const double floor_area = inside_floor_area(c.box);
  const double height = inside_height(c.box);
  std::vector<Footprint> footprints;
  double taken = 0;
  for (const auto& payload : c.payloads) {
    footprints.push_back(footprint_of(payload, floor_area, height));
    taken += footprints.back().area;
  }
  const double most = 0.9 * floor_area;
  if (taken > most) {
    for (auto& f : footprints) {
      f.height = std::min(f.height * taken / most, height);
      f.area *= most / taken;
    }
  }
  return footprints;
}

std::vector<Standing> standings_of(const cases::Case& c) {
  std::vector<Standing> all;
  const std::vector<double> packs = covered_floor(c);
  double covered = 0;
  for (const double area : packs) covered += area;
  const double bare = std::max(0.0, inside_floor_area(c.box) - covered);
  const std::vector<Footprint> footprints = footprints_of(c);
  double wanted = 0;
  for (std::size_t p = 0; p < c.payloads.size(); ++p) wanted += footprints[p].area;
  // What finds no room on the packs stands beside them.
  const double on_packs = wanted > 0 ? std::min(1.0, covered / wanted) : 0;
  for (std::size_t p = 0; p < c.payloads.size(); ++p) {
    const cases::Support& support = c.payloads[p].stands;
    const double footprint = footprints[p].area;
    const auto add = [&](int pack, double area) {
      if (area > 0) all.push_back({static_cast<int>(p), pack, area, support.coefficient});
    };
    if (support.on == cases::Support::On::nothing) continue;
    if (support.on == cases::Support::On::base) {
      add(-1, std::min(support.area.value_or(footprint), bare));
    } else if (support.on == cases::Support::On::pack) {
      for (std::size_t i = 0; i < packs.size(); ++i) {
        if (c.coolants[i].name != support.pack) continue;
        add(static_cast<int>(i), std::min(support.area.value_or(footprint), packs[i]));
      }
    } else if (!has_loose_coolant(c)) {
      const double area = support.area.value_or(footprint);
      for (std::size_t i = 0; i < packs.size(); ++i) {
        if (packs[i] > 0) add(static_cast<int>(i), on_packs * area * packs[i] / covered);
      }
      add(-1, std::min((1 - on_packs) * area, bare));
    }
  }
  return all;
}

double area_on_bed(const cases::Case& c, std::size_t payload) {
  const bool on_bed =
      std::any_of(c.coolants.begin(), c.coolants.end(), [](const cases::Coolant& coolant) {
        return coolant.form == cases::CoolantForm::loose && coolant.place == cases::Place::floor;
      });
  const cases::Support& support = c.payloads[payload].stands;
  if (!on_bed || support.on != cases::Support::On::what_is_below) return 0;
  return support.area.value_or(footprints_of(c)[payload].area);
}

}  // namespace thawline::mesh
