#include "cases/case.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace thawline::cases {

using std::numbers::pi;

double thickness_of(const Layer& layer) {
  return std::visit([](const auto& l) { return l.thickness; }, layer);
}

double thickness_of(const Wall& wall) {
  double sum = 0;
  for (const auto& layer : wall) sum += thickness_of(layer);
  return sum;
}

double inside_height(const Box& box) {
  return std::visit([](const auto& inside) { return inside.height; }, box.inside);
}

double inside_floor_area(const Box& box) {
  if (const auto* r = std::get_if<RectangularInside>(&box.inside)) return r->length * r->width;
  const double d = std::get<RoundInside>(box.inside).diameter;
  return pi * d * d / 4;
}

double floor_perimeter(const Box& box) {
  if (const auto* r = std::get_if<RectangularInside>(&box.inside)) {
    return 2 * (r->length + r->width);
  }
  return pi * std::get<RoundInside>(box.inside).diameter;
}

double inside_side_area(const Box& box) { return floor_perimeter(box) * inside_height(box); }

double inside_volume(const Box& box) { return inside_floor_area(box) * inside_height(box); }

bool lies_on_wall(const Coolant& coolant) {
  return coolant.form == CoolantForm::pack && coolant.place != Place::around_payload &&
         coolant.place != Place::free;
}

double volume_of(const Coolant& coolant) { return coolant.mass / coolant.material.density; }

double space_of(const Coolant& coolant) {
  return volume_of(coolant) / (coolant.form == CoolantForm::loose ? loose_packing : 1);
}

double liquid_volume_of(const Coolant& coolant) {
  return coolant.mass / coolant.material.density_liquid;
}

void take_whole_pieces(Coolant& coolant, double kg) {
  Pieces& pieces = *coolant.pieces;
  pieces.asked = kg;
  pieces.count = std::max(1, static_cast<int>(std::lround(kg / pieces.each)));
  coolant.mass = pieces.count * pieces.each;
}

double mass_of(const Payload& payload) {
  if (const auto* cans = std::get_if<Cans>(&payload.body)) {
    return cans->count * cans->volume * payload.contents.density;
  }
  return std::get<FoodBlock>(payload.body).mass;
}

double volume_of(const Payload& payload) {
  if (const auto* cans = std::get_if<Cans>(&payload.body)) {
    return cans->count * pi / 4 * cans->diameter * cans->diameter * cans->height;
  }
  return std::get<FoodBlock>(payload.body).mass / payload.contents.density;
}

double surface_of(const Payload& payload) {
  if (const auto* cans = std::get_if<Cans>(&payload.body)) {
    return cans->count * pi * cans->diameter * (cans->height + cans->diameter / 2);
  }
  const auto& block = std::get<FoodBlock>(payload.body);
  return 2 * block.mass / payload.contents.density / block.thickness;
}

namespace {

constexpr double day = 86400;

}  // namespace

double temperature_at(const Trace& trace, double time) {
  if (time <= trace.time.front()) return trace.temperature.front();
  if (time >= trace.time.back()) return trace.temperature.back();
  const auto upper = std::upper_bound(trace.time.begin(), trace.time.end(), time);
  const auto i = static_cast<std::size_t>(upper - trace.time.begin());
  const double share = (time - trace.time[i - 1]) / (trace.time[i] - trace.time[i - 1]);
  return trace.temperature[i - 1] + share * (trace.temperature[i] - trace.temperature[i - 1]);
}

double temperature_at(const Air& air, double time) {
  if (const auto* still = std::get_if<ConstantAir>(&air)) return still->temperature;
  if (const auto* wave = std::get_if<DailyWave>(&air)) {
    return wave->mean + wave->swing * std::cos(2 * pi * (time - wave->warmest_at) / day);
  }
  return temperature_at(std::get<Trace>(air), time);
}

double known_until(const Air& air) {
  const auto* trace = std::get_if<Trace>(&air);
  return trace != nullptr ? trace->time.back() : std::numeric_limits<double>::infinity();
}

double mean_temperature(const Air& air, double duration) {
  constexpr int samples = 1000;
  double sum = 0;
  for (int i = 0; i < samples; ++i) sum += temperature_at(air, (i + 0.5) / samples * duration);
  return sum / samples;
}

std::map<std::string, Material> materials_of(const Case& c) {
  std::map<std::string, Material> materials;
  const auto add = [&materials](const Material& m) { materials.emplace(m.name, m); };
  for (const auto* wall : {&c.box.sides, &c.box.lid, &c.box.base}) {
    for (const auto& layer : *wall) {
      if (const auto* solid = std::get_if<SolidLayer>(&layer)) add(solid->material);
    }
  }
  for (const auto& coolant : c.coolants) add(coolant.material);
  for (const auto& payload : c.payloads) {
    add(payload.contents);
    const auto* cans = std::get_if<Cans>(&payload.body);
    if (cans != nullptr && cans->shell) add(*cans->shell);
  }
  return materials;
}

const char* word_of(Side side) { return side == Side::not_above ? "not_above" : "not_below"; }

void keep_last_reading(Case& c) {
  auto* trace = std::get_if<Trace>(&c.surroundings.air);
  if (trace == nullptr || trace->time.back() >= c.run.duration) return;
  trace->time.push_back(c.run.duration);
  trace->temperature.push_back(trace->temperature.back());
}

bool packed_at_start(const Case& c, const std::string& item) {
  for (const auto& happening : c.happenings) {
    if (const auto* add = std::get_if<AddItem>(&happening.what)) {
      if (add->item == item) return false;
    }
    if (const auto* remove = std::get_if<RemoveItem>(&happening.what)) {
      if (remove->item == item) return true;
    }
  }
  return true;
}

bool has_rows(const Case& c, const Payload& payload) {
  return c.run.detail == Detail::two_d && c.run.section.air_conductivity.has_value() &&
         std::holds_alternative<Cans>(payload.body);
}

std::vector<std::string> probe_names(const Case& c) {
  std::vector<std::string> names{"air"};
  const auto add = [&names](const std::string& name, bool has_inside) {
    names.push_back(name);
    if (!has_inside) return;
    names.push_back(name + " core");
    names.push_back(name + " surface");
  };
  for (const auto& coolant : c.coolants) add(coolant.name, coolant.form == CoolantForm::pack);
  for (const auto& payload : c.payloads) {
    const auto* cans = std::get_if<Cans>(&payload.body);
    add(payload.name, cans == nullptr || cans->radial);
    if (!has_rows(c, payload)) continue;
    names.push_back(payload.name + " warmest");
    names.push_back(payload.name + " coldest");
  }
  return names;
}

}  // namespace thawline::cases
