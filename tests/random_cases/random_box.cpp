#include "random_cases/random_box.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace thawline::random_cases {

using std::numbers::pi;

double Inside::floor_area() const { return round ? pi * length * length / 4 : length * width; }
double Inside::side_area() const { return (round ? pi * length : 2 * (length + width)) * height; }
double Inside::smallest() const { return std::min({length, width, height}); }

namespace {

std::string millimetres(double metres) { return fmt::format("{:.6g} mm", 1e3 * metres); }

YAML::Node solid_layer(Draw& draw) {
  static const std::vector<std::string> foams{"eps",
                                              "xps",
                                              "epp",
                                              "pu_foam",
                                              "expanded_cork",
                                              "wool_felt",
                                              "mineral_wool",
                                              "vip_fumed_silica",
                                              "vip_fumed_silica_new",
                                              "vip_fumed_silica_punctured"};
  static const std::vector<std::string> skins{
      "hdpe",  "pp",       "abs",       "hips",  "pvc",
      "pet",   "epdm",     "aluminium", "steel", "stainless_steel",
      "glass", "cardboard"};
  static const std::vector<std::string> boards{"softwood", "plywood"};
  YAML::Node layer;
  const double kind = draw.between(0, 1);
  if (kind < 0.5) {
    layer["material"] = draw.one_of(foams);
    layer["thickness"] = millimetres(draw.by_ratio(0.004, 0.15));
  } else if (kind < 0.9) {
    layer["material"] = draw.one_of(skins);
    layer["thickness"] = millimetres(draw.by_ratio(0.0002, 0.008));
  } else {
    layer["material"] = draw.one_of(boards);
    layer["thickness"] = millimetres(draw.by_ratio(0.002, 0.03));
  }
  return layer;
}

/// Layers from the inside to the outside; gaps lie between solid ones.
YAML::Node wall(Draw& draw) {
  YAML::Node layers;
  const int solid = draw.whole(1, 4);
  for (int i = 0; i < solid; ++i) {
    if (i > 0 && draw.chance(0.15)) {
      YAML::Node gap;
      gap["air_gap"] = millimetres(draw.by_ratio(0.001, 0.05));
      if (draw.chance(0.5)) gap["emissivity"] = fmt::format("{:.3g}", draw.between(0.02, 1));
      layers.push_back(gap);
    }
    layers.push_back(solid_layer(draw));
  }
  return layers;
}

}  // namespace

DrawnBox draw_box(Draw& draw, bool small) {
  DrawnBox box;
  Inside& inside = box.inside;
  const double largest = small ? 0.45 : 1.2;
  const auto size = [&] {
    return std::round(1e4 * draw.by_ratio(0.1, draw.chance(0.8) ? 0.5 * largest : largest)) / 1e4;
  };
  inside.round = draw.chance(0.3);
  inside.length = size();
  inside.width = inside.round ? inside.length : size();
  inside.height = size();
  YAML::Node& entry = box.entry;
  if (inside.round) {
    entry["inside"]["diameter"] = millimetres(inside.length);
  } else {
    entry["inside"]["length"] = millimetres(inside.length);
    entry["inside"]["width"] = millimetres(inside.width);
  }
  entry["inside"]["height"] = millimetres(inside.height);
  entry["wall"] = wall(draw);
  for (const char* other : {"lid", "base"}) {
    if (draw.chance(0.25)) entry[other] = wall(draw);
  }
  const YAML::Node layers = entry["wall"];
  if (layers.size() > 1 && !layers[1]["air_gap"] && draw.chance(0.15)) {
    entry["liner_gap"] = millimetres(draw.by_ratio(0.001, 0.03));
  }
  if (draw.chance(0.6)) entry["gasket_leak"] = fmt::format("{:.4g} W/K", draw.between(0, 0.3));
  if (draw.chance(0.3)) {
    entry["gasket_air_changes"] = fmt::format("{:.4g} 1/h", draw.between(0, 3));
  }
  for (const char* face : {"inside_emissivity", "outside_emissivity"}) {
    if (draw.chance(0.3)) entry[face] = fmt::format("{:.3g}", draw.between(0.03, 1));
  }
  if (draw.chance(0.2)) {
    entry["inside_coefficient"] = fmt::format("{:.4g} W/m2/K", draw.by_ratio(0.5, 50));
  }
  return box;
}

}  // namespace thawline::random_cases
