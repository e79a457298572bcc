#include "random_cases/random_contents.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

#include "cases/case.hpp"

namespace thawline::random_cases {

namespace {

std::string millimetres(double metres) { return fmt::format("{:.8g} mm", 1e3 * metres); }
std::string degrees(double celsius) { return fmt::format("{:.6g} degC", celsius); }

bool is_for(const cases::Material& material, const std::string& use) {
  return std::find(material.uses.begin(), material.uses.end(), use) != material.uses.end();
}

}  // namespace

ContentsDraw::ContentsDraw(Draw& draw, const Inside& inside, const cases::MaterialShelf& shelf,
                           const std::vector<std::string>& own, bool no_loose)
    : draw_(draw),
      inside_(inside),
      shelf_(shelf),
      own_(own),
      loose_allowed_(!no_loose),
      room_(0.95 * inside.volume()),
      on_floor_(0.99 * inside.floor_area()),
      under_lid_(on_floor_),
      on_sides_(0.99 * inside.side_area()) {}

std::string ContentsDraw::material_for(const std::string& use) {
  if (!own_.empty() && draw_.chance(0.4)) return draw_.one_of(own_);
  // Plain water melts sharply and is in most boxes.
  if (draw_.chance(0.2)) return use == "payload" ? "water_drink" : "water_ice";
  const bool anything = draw_.chance(0.1);
  std::vector<std::string> fit;
  for (const auto& [name, material] : shelf_) {
    if (is_for(material, "gas")) continue;
    if (anything || is_for(material, use)) fit.push_back(name);
  }
  return draw_.one_of(fit);
}

double ContentsDraw::share_of_room(double least, double most) {
  // A case may name no less than 0.1 g; foams as contents weigh 25 kg/m3 and more.
  const double volume = std::max(5e-6, room_ * draw_.by_ratio(least, most));
  room_ -= volume;
  return volume;
}

YAML::Node ContentsDraw::amount(double volume, double density) {
  const double how = draw_.between(0, 1);
  YAML::Node node;
  const double smallest = 1e-3;  // kg, of one piece
  if (how < 0.4) {
    node = fmt::format("{:.8g} L", 1e3 * volume);
  } else if (how < 0.8 || density * volume < 12 * smallest) {
    node = fmt::format("{:.8g} kg", density * volume);
  } else {
    const int count = draw_.whole(1, 12);
    node["count"] = count;
    node["each"] = fmt::format("{:.8g} g", 1e3 * density * volume / count);
  }
  return node;
}

/// Thickness and place of a pack. One that lies on a wall covers some of what is still bare of it.
void ContentsDraw::lay_pack(YAML::Node& entry, double volume, double density) {
  static const std::vector<std::string> places{"floor", "lid", "sides", "around_payload", "free"};
  std::string place = draw_.one_of(places);
  double* bare = place == "floor" ? &on_floor_ : place == "lid" ? &under_lid_ : &on_sides_;
  const double thickest = 0.9 * inside_.smallest();
  double thickness = std::min(thickest, draw_.by_ratio(0.002, 0.1));
  if (place == "around_payload" || place == "free") {
    bare = nullptr;
  } else {
    const double most = *bare * draw_.between(0.05, 1);
    thickness = std::max({0.001, thickness, volume / most});
    if (thickness > thickest) {
      thickness = thickest;
      volume = std::min(volume, most * thickness);
    }
    *bare -= volume / thickness;
  }
  entry["place"] = place;
  entry["amount"] = amount(volume, density);
  const int stacked = draw_.chance(0.2) && thickness > 0.004 ? draw_.whole(2, 4) : 1;
  // A little thicker than needed, so that rounding of the text does not overfill a wall.
  entry["thickness"] = millimetres(1.000001 * thickness / stacked);
  if (stacked > 1) entry["stacked"] = stacked;
}

void ContentsDraw::start_of_coolant(YAML::Node& entry, const cases::Material& material) {
  if (!material.melts()) {
    entry["start"] = degrees(draw_.between(-40, 20));
    return;
  }
  if (draw_.chance(0.2)) {
    const double how = draw_.between(0, 1);
    const double fraction = how < 0.15 ? 0 : how < 0.3 ? 1 : draw_.between(0, 1);
    entry["start_liquid_fraction"] = fmt::format("{:.6g}", fraction);
    return;
  }
  const double solidus = cases::solidus_of(material) - 273.15;
  // Exactly at the melting point, or up to 35 K below it.
  const double below = draw_.chance(0.1) ? 0 : draw_.between(0, 35);
  entry["start"] = fmt::format("{:.10g} degC", std::max(solidus - below, -150.0));
}

YAML::Node ContentsDraw::coolant(const std::string& name) {
  YAML::Node entry;
  entry["name"] = name;
  const std::string word = material_for("coolant");
  const cases::Material& material = shelf_.at(word);
  entry["material"] = word;
  const bool loose = loose_allowed_ && draw_.chance(0.35);
  const double space = share_of_room(0.003, loose ? 0.5 : 0.3);
  const double volume = loose ? cases::loose_packing * space : space;
  if (loose) {
    loose_allowed_ = false;
    entry["form"] = "loose";
    entry["place"] = draw_.chance(0.5) ? "floor" : "around_payload";
    entry["amount"] = amount(volume, material.density);
    if (std::holds_alternative<cases::SharpMelting>(material.melting) && draw_.chance(0.5)) {
      entry["melt_water"] = draw_.chance(0.7) ? "drained" : "kept";
    }
  } else {
    entry["form"] = draw_.chance(0.8) ? "pack" : "sheet";
    lay_pack(entry, volume, material.density);
  }
  start_of_coolant(entry, material);
  if (draw_.chance(0.3)) entry["liquid_mixing"] = fmt::format("{:.4g}", draw_.by_ratio(1, 50));
  if (draw_.chance(0.3)) {
    entry["contact"]["coefficient"] = fmt::format("{:.4g} W/m2/K", draw_.by_ratio(1, 2000));
    if (draw_.chance(0.5)) {
      entry["contact"]["area"] = fmt::format("{:.4g} m2", draw_.by_ratio(1e-3, 1));
    }
  }
  return entry;
}

YAML::Node ContentsDraw::shell() {
  static const std::vector<std::string> shells{"aluminium", "steel", "glass", "pet", "hdpe"};
  YAML::Node shell;
  shell["material"] = draw_.one_of(shells);
  shell["thickness"] = millimetres(draw_.by_ratio(5e-5, 4e-3));
  return shell;
}

/// As many as the room allows, at most some hundred.
YAML::Node ContentsDraw::cans() {
  YAML::Node cans;
  const double widest = std::min({0.3, 0.9 * inside_.length, 0.9 * inside_.width});
  double diameter = draw_.by_ratio(0.016, widest);
  double height = std::clamp(diameter * draw_.by_ratio(0.3, 4), 0.012, 0.95 * inside_.height);
  const auto outside_of_one = [&] { return std::numbers::pi / 4 * diameter * diameter * height; };
  if (outside_of_one() > 0.5 * room_) {
    const double shrink = std::cbrt(0.5 * room_ / outside_of_one());
    diameter *= shrink;
    height *= shrink;
  }
  const double outside = outside_of_one();
  const int count =
      static_cast<int>(std::clamp(room_ * draw_.by_ratio(0.01, 0.7) / outside, 1.0, 500.0));
  room_ -= count * outside;
  cans["count"] = count;
  const double full = draw_.chance(0.3) ? 0.9999 : draw_.between(0.5, 0.999);
  cans["volume"] = fmt::format("{:.8g} mL", 1e6 * full * outside);
  cans["diameter"] = millimetres(diameter);
  cans["height"] = millimetres(height);
  if (draw_.chance(0.4)) cans["shell"] = shell();
  if (draw_.chance(0.7)) cans["detail"] = draw_.chance(0.75) ? "radial" : "lumped";
  return cans;
}

YAML::Node ContentsDraw::payload(const std::string& name) {
  YAML::Node entry;
  entry["name"] = name;
  const std::string word = material_for("payload");
  entry["contents"] = word;
  if (draw_.chance(0.65)) {
    entry["cans"] = cans();
  } else {
    const double volume = share_of_room(0.003, 0.5);
    entry["block"]["amount"] = amount(volume, shelf_.at(word).density);
    entry["block"]["thickness"] =
        millimetres(draw_.by_ratio(0.004, std::min(0.5, inside_.smallest())));
  }
  const cases::Material& material = shelf_.at(word);
  double start = draw_.between(-30, 40);
  if (material.melts() && draw_.chance(0.15)) start = cases::solidus_of(material) - 273.15;
  entry["start"] = fmt::format("{:.10g} degC", start);
  if (draw_.chance(0.3)) entry["liquid_mixing"] = fmt::format("{:.4g}", draw_.by_ratio(1, 50));
  return entry;
}

}  // namespace thawline::random_cases
