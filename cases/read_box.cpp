#include "cases/read_box.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cases/suggestions.hpp"

namespace thawline::cases {

namespace {

constexpr Range box_length{0.01, 20};
constexpr Range layer_thickness{1e-5, 1};

std::variant<RectangularInside, RoundInside> read_inside(const Entry& entry) {
  entry.check_known({"rectangular_inside", "round_inside"});
  const auto length = [&entry](const char* key) {
    return entry.at(key).quantity(dimension::length, box_length);
  };
  if (entry.has("diameter")) {
    entry.check_keys("round_inside");
    return RoundInside{length("diameter"), length("height")};
  }
  entry.check_keys("rectangular_inside");
  return RectangularInside{length("length"), length("width"), length("height")};
}

Layer read_layer(const Entry& entry, const MaterialShelf& shelf) {
  entry.check_known({"solid_layer", "gap_layer"});
  if (entry.has("air_gap")) {
    entry.check_keys("gap_layer");
    GapLayer gap{entry.at("air_gap").quantity(dimension::length, {1e-3, 0.3}), 0.9};
    if (const auto emissivity = entry.find("emissivity")) {
      gap.emissivity = emissivity->number({0.01, 1});
    }
    return gap;
  }
  entry.check_keys("solid_layer");
  const Entry name = entry.at("material");
  const Material material = find_material(name, shelf);
  if (material.melts()) name.fail(fmt::format("'{}' melts and can't be a wall", material.name));
  return SolidLayer{material, entry.at("thickness").quantity(dimension::length, layer_thickness)};
}

Wall read_wall(const Entry& entry, const MaterialShelf& shelf) {
  Wall wall;
  for (const auto& item : entry.items()) wall.push_back(read_layer(item, shelf));
  for (const std::size_t end : {std::size_t{0}, wall.size() - 1}) {
    if (std::holds_alternative<GapLayer>(wall[end])) {
      entry.items()[end].fail(
          "the first and the last layer of a wall must be solid, not an air gap");
    }
  }
  for (std::size_t i = 1; i < wall.size(); ++i) {
    if (std::holds_alternative<GapLayer>(wall[i]) &&
        std::holds_alternative<GapLayer>(wall[i - 1])) {
      entry.items()[i].fail("two air gaps touch; make them one");
    }
  }
  return wall;
}

/// An air gap behind the innermost skin.
void insert_liner_gap(Wall& wall, double thickness) {
  if (wall.size() > 1) wall.insert(wall.begin() + 1, GapLayer{thickness, 0.9});
}

}  // namespace

Material find_material(const Entry& name, const MaterialShelf& shelf) {
  const std::string word = name.text();
  const auto found = shelf.find(word);
  if (found != shelf.end()) {
    if (found->second.uses == std::vector<std::string>{"gas"}) {
      name.fail(fmt::format("'{}' is a gas; a wall holds it as 'air_gap: 20 mm'", word));
    }
    return found->second;
  }
  std::vector<std::string> names;
  for (const auto& [known, material] : shelf) names.push_back(known);
  const std::string near = material_meant(word, names);
  name.fail(
      near.empty()
          ? fmt::format("no material is called '{}'; 'thawline materials' lists them",
                        shortened(word))
          : fmt::format("no material is called '{}'; did you mean '{}'?", shortened(word), near),
      Mistake::form);
}

Box read_box(const Entry& entry, const MaterialShelf& shelf) {
  entry.check_keys("box");
  Box box;
  box.inside = read_inside(entry.at("inside"));
  box.sides = read_wall(entry.at("wall"), shelf);
  const auto lid = entry.find("lid");
  const auto base = entry.find("base");
  box.lid = lid ? read_wall(*lid, shelf) : box.sides;
  box.base = base ? read_wall(*base, shelf) : box.sides;
  if (const auto gap = entry.find("liner_gap")) {
    const double thickness = gap->quantity(dimension::length, {1e-3, 0.1});
    if (box.sides.size() < 2 || std::holds_alternative<GapLayer>(box.sides[1])) {
      gap->fail("a liner gap needs a wall of at least two solid layers, the liner first");
    }
    insert_liner_gap(box.sides, thickness);
    if (!lid) insert_liner_gap(box.lid, thickness);
    if (!base) insert_liner_gap(box.base, thickness);
  }
  if (const auto leak = entry.find("gasket_leak")) {
    box.gasket_leak = leak->quantity(dimension::conductance, {0, 100});
  }
  if (const auto changes = entry.find("gasket_air_changes")) {
    box.gasket_air_changes = changes->quantity(dimension::rate, {0, 1});
  }
  if (const auto e = entry.find("inside_emissivity")) box.inside_emissivity = e->number({0.01, 1});
  if (const auto e = entry.find("outside_emissivity"))
    box.outside_emissivity = e->number({0.01, 1});
  if (const auto h = entry.find("inside_coefficient")) {
    box.inside_coefficient = h->quantity(dimension::coefficient, {0.1, 1000});
  }
  return box;
}

}  // namespace thawline::cases
