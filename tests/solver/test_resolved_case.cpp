#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <set>
#include <string>
#include <vector>

#include "cases/keys.hpp"
#include "cases/read_case.hpp"
#include "mesh/network.hpp"
#include "solver/history/resolved_case.hpp"
#include "solver/results/freeze_coolants.hpp"

using namespace thawline;

namespace {

/// One key of a case and a change of its value: a text that stands once in the case, and another.
struct Change {
  std::string map, key;
  std::string from, to;
};

const std::string everything = R"(title: all there is
materials:
  foam: {title: own foam, uses: [wall], note: mine, emissivity: {value: 0.81, source: own},
    density: {value: 35.5 kg/m3, source: own},
    heat_capacity: {value: 1401 J/kg/K, valid: [-40 degC, 70 degC], source: own},
    conductivity: {table: [[0 degC, 0.024 W/m/K], [20 degC, 0.026 W/m/K]], source: own}}
  spread:
    title: melts over a range
    density: {value: 901 kg/m3, source: own}
    density_liquid: {value: 801 kg/m3, source: own}
    heat_capacity: {solid: {value: 2001 J/kg/K, valid: [-40 degC, 4 degC], source: own},
                    liquid: {value: 2201 J/kg/K, valid: [6 degC, 40 degC], source: own}}
    conductivity: {solid: {value: 0.31 W/m/K, valid: [-40 degC, 4 degC], source: own},
                   liquid: {value: 0.15 W/m/K, valid: [6 degC, 40 degC], source: own}}
    melting: {law: range, solidus: {value: 4.1 degC, source: own},
              liquidus: {value: 6.1 degC, source: own}, latent_heat: {value: 181 kJ/kg, source: own}}
  sharp:
    title: melts at one point
    density: {value: 902 kg/m3, source: own}
    heat_capacity: {solid: {value: 2000 J/kg/K, valid: [-40 degC, 4 degC], source: own},
                    liquid: {value: 2200 J/kg/K, valid: [6 degC, 40 degC], source: own}}
    conductivity: {solid: {value: 0.3 W/m/K, valid: [-40 degC, 4 degC], source: own},
                   liquid: {value: 0.15 W/m/K, valid: [6 degC, 40 degC], source: own}}
    melting: {law: sharp, point: {value: 3.2 degC, source: own},
              latent_heat: {value: 182 kJ/kg, source: own}}
  brine:
    title: brine
    density: {value: 1100 kg/m3, source: own}
    heat_capacity: {solid: {value: 2000 J/kg/K, valid: [-40 degC, -22 degC], source: own},
                    liquid: {value: 3500 J/kg/K, valid: [-20 degC, 40 degC], source: own}}
    conductivity: {solid: {value: 2 W/m/K, valid: [-40 degC, -22 degC], source: own},
                   liquid: {value: 0.5 W/m/K, valid: [-20 degC, 40 degC], source: own}}
    melting: {law: lever, composition: {value: 0.12, source: own},
              eutectic_point: {value: -21.1 degC, source: own},
              eutectic_composition: {value: 0.233, source: own},
              eutectic_latent_heat: {value: 236 kJ/kg, source: own},
              latent_heat: {value: 303 kJ/kg, source: own},
              liquidus: {table: [[0, 0 degC], [0.1, -6.5 degC], [0.233, -21.1 degC]], source: own}}
  food:
    title: food
    density: {value: 1000 kg/m3, source: own}
    heat_capacity: {solid: {value: 2000 J/kg/K, valid: [-40 degC, -2 degC], source: own},
                    liquid: {value: 3600 J/kg/K, valid: [0 degC, 40 degC], source: own}}
    conductivity: {solid: {value: 1.5 W/m/K, valid: [-40 degC, -2 degC], source: own},
                   liquid: {value: 0.5 W/m/K, valid: [0 degC, 40 degC], source: own}}
    melting: {law: dilute, freezing_point: {value: -0.8 degC, source: own},
              water: {value: 0.76, source: own}, latent_heat: {value: 334 kJ/kg, source: own},
              floor: {value: -38 degC, source: own}}
  measured:
    title: measured
    density: {value: 950 kg/m3, source: own}
    heat_capacity: {solid: {value: 2000 J/kg/K, valid: [-40 degC, 4 degC], source: own},
                    liquid: {value: 2200 J/kg/K, valid: [8 degC, 40 degC], source: own}}
    conductivity: {solid: {value: 0.3 W/m/K, valid: [-40 degC, 4 degC], source: own},
                   liquid: {value: 0.15 W/m/K, valid: [8 degC, 40 degC], source: own}}
    melting: {law: table, enthalpy: {table: [[4 degC, 0 kJ/kg, 0], [6 degC, 120 kJ/kg, 0.7],
              [8 degC, 170 kJ/kg, 1]], source: own}}
box:
  inside: {length: 61 cm, width: 41 cm, height: 51 cm}
  wall:
    - {material: hdpe, thickness: 2.1 mm}
    - {air_gap: 11 mm, emissivity: 0.71}
    - {material: foam, thickness: 31 mm}
  lid: [{material: foam, thickness: 41 mm}, {material: hdpe, thickness: 2 mm}]
  base: [{material: foam, thickness: 51 mm}, {material: hdpe, thickness: 2 mm}]
  gasket_leak: 0.031 W/K
  gasket_air_changes: 0.11 1/h
  inside_emissivity: 0.85
  outside_emissivity: 0.86
  inside_coefficient: 7.1 W/m2/K
coolant:
  - {name: packs, material: spread, amount: {count: 3, each: 501 g}, form: pack, thickness: 11 mm,
     stacked: 2, place: lid, start: -3.1 degC, liquid_mixing: 1.5,
     contact: {coefficient: 31 W/m2/K, area: 0.051 m2}}
  - {name: half, material: sharp, amount: 1.1 kg, form: pack, thickness: 21 mm, place: sides,
     start_liquid_fraction: 0.41}
  - {name: cubes, material: water_ice, amount: {bulk: 4.1 L}, form: loose, melt_water: drained,
     start: {in: -18.1 degC, for: 90 min, from: 19 degC, coefficient: 11 W/m2/K},
     pieces: {each: 9.9 mL}}
  - {name: salty, material: brine, amount: {displaces: 1.1 L}, form: pack, thickness: 22 mm, place: sides,
     start: -25 degC}
payload:
  - {name: cans, contents: cola, start: 5.1 degC, liquid_mixing: 2.1, cans: {count: 6,
     volume: 0.33 L, diameter: 66 mm, height: 115 mm, detail: radial,
     shell: {material: aluminium, thickness: 0.11 mm}}}
  - {name: meal, contents: food, start: 4.1 degC, block: {amount: 2.2 kg, thickness: 61 mm}}
  - {name: wax, contents: measured, start: 4.2 degC, stands_on: base,
     contact: {coefficient: 31 W/m2/K}, block: {amount: 1.3 kg, thickness: 40 mm}}
  - {name: late, contents: cola, start: 4.2 degC, block: {amount: 0.5 kg, thickness: 40 mm}}
surroundings:
  air: {mean: 24.1 degC, swing: 5.1 K, warmest_at: 5.2 h}
  wind: 1.1 m/s
  long_wave: off
  stands_on: {coefficient: 9.1 W/m2/K, temperature: 31.1 degC}
happenings:
  - {at: 1.1 h, open_lid: 61 s, air_changes: 101 1/h}
  - {at: 2.1 h, add: late}
  - {at: 3.1 h, remove: meal}
limits:
  - {name: cold enough, probe: cans, not_above: 8.1 degC}
  - {name: not frozen, probe: meal, not_below: -0.51 degC, logger_error: 0.31 K}
run:
  duration: 24.5 h
  detail: 1d
  accuracy: 0.051 K
  output_every: 10.5 min
  fields: on
  section: {fineness: 1.1, most_cells: 100001}
)";

const std::vector<Change> changes{
    {"case", "title", "title: all there is", "title: another"},
    {"case", "box", "length: 61 cm", "length: 62 cm"},
    {"case", "surroundings", "wind: 1.1", "wind: 1.2"},
    {"case", "run", "duration: 24.5 h", "duration: 25 h"},
    {"case", "materials", "value: 35.5 kg/m3", "value: 36 kg/m3"},
    {"case", "coolant", "each: 501 g", "each: 502 g"},
    {"coolant", "pieces", ",\n     pieces: {each: 9.9 mL}", ",\n     pieces: {each: 9.7 mL}"},
    {"pieces", "each", "each: 9.9 mL", "each: 9.8 mL"},
    {"amount_by_bulk", "bulk", "bulk: 4.1 L", "bulk: 4.2 L"},
    {"amount_by_displacement", "displaces", "displaces: 1.1 L", "displaces: 1.11 L"},
    {"freezer", "in", "in: -18.1 degC", "in: -18.2 degC"},
    {"freezer", "for", "for: 90 min", "for: 91 min"},
    {"freezer", "from", "from: 19 degC", "from: 18 degC"},
    {"freezer", "coefficient", "coefficient: 11 W/m2/K", "coefficient: 12 W/m2/K"},
    {"case", "payload", "start: 5.1 degC", "start: 5.2 degC"},
    {"case", "happenings", "at: 1.1 h", "at: 1.2 h"},
    {"case", "limits", "not_above: 8.1 degC", "not_above: 8.2 degC"},
    {"box", "inside", "width: 41 cm", "width: 42 cm"},
    {"box", "wall", "thickness: 31 mm", "thickness: 32 mm"},
    {"box", "lid", "thickness: 41 mm", "thickness: 42 mm"},
    {"box", "base", "thickness: 51 mm", "thickness: 52 mm"},
    {"box", "liner_gap", "    - {air_gap: 11 mm, emissivity: 0.71}\n",
     "    - {material: pp, thickness: 1 mm}\n  liner_gap: 5 mm\n#"},
    {"box", "gasket_leak", "0.031 W/K", "0.032 W/K"},
    {"box", "gasket_air_changes", "0.11 1/h", "0.12 1/h"},
    {"box", "inside_emissivity", "inside_emissivity: 0.85", "inside_emissivity: 0.84"},
    {"box", "outside_emissivity", "outside_emissivity: 0.86", "outside_emissivity: 0.87"},
    {"box", "inside_coefficient", "7.1 W/m2/K", "7.2 W/m2/K"},
    {"rectangular_inside", "length", "length: 61 cm", "length: 61.1 cm"},
    {"rectangular_inside", "width", "width: 41 cm", "width: 41.1 cm"},
    {"rectangular_inside", "height", "height: 51 cm", "height: 51.1 cm"},
    {"round_inside", "diameter", "{length: 61 cm, width: 41 cm,", "{diameter: 55 cm,"},
    {"round_inside", "height", "{length: 61 cm, width: 41 cm, height: 51 cm}",
     "{diameter: 55 cm, height: 52 cm}"},
    {"solid_layer", "material", "{material: hdpe, thickness: 2.1 mm}",
     "{material: pp, thickness: 2.1 mm}"},
    {"solid_layer", "thickness", "2.1 mm}", "2.2 mm}"},
    {"gap_layer", "air_gap", "air_gap: 11 mm", "air_gap: 12 mm"},
    {"gap_layer", "emissivity", "emissivity: 0.71", "emissivity: 0.72"},
    {"coolant", "material", "{name: half, material: sharp", "{name: half, material: spread"},
    {"coolant", "amount", "amount: 1.1 kg", "amount: 1.11 kg"},
    {"coolant", "form", "amount: {bulk: 4.1 L}, form: loose, melt_water: drained,",
     "amount: 2.1 kg, form: pack, thickness: 30 mm, place: floor,"},
    {"coolant", "name", "name: half", "name: other"},
    {"coolant", "thickness", "thickness: 11 mm", "thickness: 12 mm"},
    {"coolant", "stacked", "stacked: 2", "stacked: 3"},
    {"coolant", "place", "place: lid", "place: floor"},
    {"coolant", "start", "start: -3.1 degC", "start: -3.2 degC"},
    {"coolant", "start_liquid_fraction", "fraction: 0.41", "fraction: 0.42"},
    {"coolant", "melt_water", "melt_water: drained", "melt_water: kept"},
    {"coolant", "liquid_mixing", "liquid_mixing: 1.5", "liquid_mixing: 1.6"},
    {"coolant", "contact", "coefficient: 31 W", "coefficient: 32 W"},
    {"amount_by_count", "count", "count: 3,", "count: 4,"},
    {"amount_by_count", "each", "each: 501 g", "each: 503 g"},
    {"contact", "coefficient", "coefficient: 31 W", "coefficient: 33 W"},
    {"contact", "area", "area: 0.051 m2", "area: 0.052 m2"},
    {"payload", "contents", "contents: cola", "contents: milk"},
    {"payload", "start", "start: 4.1 degC", "start: 4.3 degC"},
    {"payload", "name", "{name: wax, contents: measured", "{name: candle, contents: measured"},
    {"payload", "cans", "count: 6,", "count: 7,"},
    {"payload", "block", "amount: 2.2 kg", "amount: 2.3 kg"},
    {"payload", "liquid_mixing", "liquid_mixing: 2.1", "liquid_mixing: 2.2"},
    {"payload", "stands_on", "stands_on: base,", ""},
    {"payload", "contact", "coefficient: 31 W/m2/K", "coefficient: 32 W/m2/K"},
    {"cans", "count", "count: 6,", "count: 5,"},
    {"cans", "volume", "volume: 0.33 L", "volume: 0.32 L"},
    {"cans", "diameter", "diameter: 66 mm", "diameter: 67 mm"},
    {"cans", "height", "height: 115 mm", "height: 116 mm"},
    {"cans", "shell", "thickness: 0.11 mm", "thickness: 0.12 mm"},
    {"cans", "detail", "detail: radial", "detail: lumped"},
    {"shell", "material", "{material: aluminium", "{material: pp"},
    {"shell", "thickness", "thickness: 0.11 mm", "thickness: 0.13 mm"},
    {"block", "amount", "amount: 2.2 kg", "amount: 2.4 kg"},
    {"block", "thickness", "thickness: 61 mm", "thickness: 62 mm"},
    {"surroundings", "air", "mean: 24.1 degC", "mean: 24.2 degC"},
    {"surroundings", "wind", "wind: 1.1 m/s", "wind: 1.3 m/s"},
    {"surroundings", "outside_coefficient", "wind: 1.1 m/s", "outside_coefficient: 9 W/m2/K"},
    {"surroundings", "long_wave", "long_wave: off", "long_wave: on"},
    {"surroundings", "stands_on", "coefficient: 9.1 W", "coefficient: 9.2 W"},
    {"daily_wave", "mean", "mean: 24.1 degC", "mean: 24.3 degC"},
    {"daily_wave", "swing", "swing: 5.1 K", "swing: 5.2 K"},
    {"daily_wave", "warmest_at", "warmest_at: 5.2 h", "warmest_at: 5.3 h"},
    {"trace", "trace", "{mean: 24.1 degC, swing: 5.1 K, warmest_at: 5.2 h}",
     "{trace: cases/examples/van-log.csv}"},
    {"stands_on", "coefficient", "coefficient: 9.1 W", "coefficient: 9.3 W"},
    {"stands_on", "temperature", "temperature: 31.1 degC", "temperature: 31.2 degC"},
    {"open_lid", "at", "at: 1.1 h", "at: 1.3 h"},
    {"open_lid", "open_lid", "open_lid: 61 s", "open_lid: 62 s"},
    {"open_lid", "air_changes", "air_changes: 101 1/h", "air_changes: 102 1/h"},
    {"add", "at", "at: 2.1 h", "at: 2.2 h"},
    {"add", "add", "add: late", "add: half"},
    {"remove", "at", "at: 3.1 h", "at: 3.2 h"},
    {"remove", "remove", "remove: meal", "remove: cans"},
    {"limit", "probe", "probe: meal", "probe: cans"},
    {"limit", "name", "name: not frozen", "name: frost"},
    {"limit", "not_above", "not_above: 8.1 degC", "not_above: 8.3 degC"},
    {"limit", "not_below", "not_below: -0.51 degC", "not_above: -0.51 degC"},
    {"limit", "logger_error", "logger_error: 0.31 K", "logger_error: 0.32 K"},
    {"run", "duration", "duration: 24.5 h", "duration: 24.6 h"},
    {"run", "detail", "detail: 1d", "detail: 2d"},
    {"run", "accuracy", "accuracy: 0.051 K", "accuracy: 0.052 K"},
    {"run", "output_every", "output_every: 10.5 min", "output_every: 11 min"},
    {"run", "fields", "fields: on", "fields: off"},
    {"run", "section", "fineness: 1.1", "fineness: 1.2"},
    {"section", "fineness", "fineness: 1.1", "fineness: 1.3"},
    {"section", "most_cells", "most_cells: 100001", "most_cells: 100002"},
    {"material", "title", "title: own foam", "title: my foam"},
    {"material", "density", "value: 901 kg/m3", "value: 902 kg/m3"},
    {"material", "density_liquid", "value: 801 kg/m3", "value: 802 kg/m3"},
    {"material", "heat_capacity", "value: 1401 J/kg/K", "value: 1402 J/kg/K"},
    {"material", "conductivity", "0.024 W/m/K", "0.025 W/m/K"},
    {"material", "melting", "value: 4.1 degC", "value: 4.2 degC"},
    {"material", "emissivity", "value: 0.81", "value: 0.82"},
    {"by_phase", "solid", "value: 2001 J/kg/K", "value: 2002 J/kg/K"},
    {"by_phase", "liquid", "value: 2201 J/kg/K", "value: 2202 J/kg/K"},
    {"constant", "value", "value: 0.31 W/m/K", "value: 0.32 W/m/K"},
    {"table", "table", "[20 degC, 0.026 W/m/K]", "[21 degC, 0.026 W/m/K]"},
    {"sharp", "law", "{law: sharp, point: {value: 3.2 degC, source: own},",
     "{law: range, solidus: {value: 3.2 degC, source: own}, liquidus: {value: 5 degC, source: "
     "own},"},
    {"sharp", "point", "value: 3.2 degC", "value: 3.3 degC"},
    {"sharp", "latent_heat", "value: 182 kJ/kg", "value: 183 kJ/kg"},
    {"range", "law",
     "{law: range, solidus: {value: 4.1 degC, source: own},\n              liquidus: {value: 6.1 "
     "degC, source: own},",
     "{law: sharp, point: {value: 4.1 degC, source: own},"},
    {"range", "solidus", "value: 4.1 degC", "value: 4.3 degC"},
    {"range", "liquidus", "value: 6.1 degC", "value: 6.2 degC"},
    {"range", "latent_heat", "value: 181 kJ/kg", "value: 180 kJ/kg"},
    {"lever", "composition", "value: 0.12,", "value: 0.13,"},
    {"lever", "eutectic_point", "-21.1 degC", "-21.2 degC"},
    {"lever", "eutectic_composition", "0.233", "0.234"},
    {"lever", "eutectic_latent_heat", "value: 236 kJ/kg", "value: 237 kJ/kg"},
    {"lever", "latent_heat", "value: 303 kJ/kg", "value: 304 kJ/kg"},
    {"lever", "liquidus", "[0.1, -6.5 degC]", "[0.1, -6.6 degC]"},
    {"dilute", "freezing_point", "value: -0.8 degC", "value: -0.9 degC"},
    {"dilute", "water", "value: 0.76", "value: 0.77"},
    {"dilute", "latent_heat", "value: 334 kJ/kg", "value: 333 kJ/kg"},
    {"dilute", "floor", "floor: {value: -38", "floor: {value: -37"},
    {"enthalpy_table", "enthalpy", "120 kJ/kg, 0.7", "121 kJ/kg, 0.7"},
};

/// Keys that decide nothing and so do not stand there, and why.
const std::set<std::string> exempt{
    "surroundings.sun",
    "surroundings.humidity",  // refused
    "section.air_conductivity",
    "payload.leans_on",  // have their own cases below
    "trace.channel",
    "trace.dates",
    "trace.hour_jumps",  // likewise
    "material.uses",
    "material.note",  // words for a reader
    "constant.source",
    "table.source",    // likewise; they stand in the texts
    "constant.valid",  // a note on the value
    // The law of a melting is told by its other keys, which differ.
    "lever.law",
    "dilute.law",
    "enthalpy_table.law",
};

std::string resolved(const std::string& text) {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  auto c = cases::read_case_text(std::string(THAWLINE_SOURCE_DIR) + "/case.yaml", text, shelf);
  solver::settle_starts(c);
  auto json = solver::history::resolved_case(c, mesh::build_network(c));
  // These follow from the rest and would tell of a key that is not there itself.
  json.erase("conductance_W_K");
  json.erase("cells");
  json["box"].erase("free_air_m3");
  return json.dump();
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  REQUIRE(text.find(from) != std::string::npos);
  for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
  return text;
}

std::string without_loose_ice() {
  return replaced(
      everything,
      "  - {name: cubes, material: water_ice, amount: {bulk: 4.1 L}, form: loose, "
      "melt_water: drained,\n"
      "     start: {in: -18.1 degC, for: 90 min, from: 19 degC, coefficient: 11 W/m2/K},\n"
      "     pieces: {each: 9.9 mL}}\n",
      "");
}

}  // namespace

TEST_CASE("every key a case may have is told in what was understood of it", "[solver][resolved]") {
  const std::string as_it_is = resolved(everything);
  std::set<std::string> told = exempt;
  for (const auto& change : changes) {
    INFO(change.map << "." << change.key << ": " << change.from << " -> " << change.to);
    const std::string other = replaced(everything, change.from, change.to);
    CHECK(resolved(other) != as_it_is);
    told.insert(change.map + "." + change.key);
  }
  for (const auto& set : cases::case_keys()) {
    for (const auto* keys : {&set.required, &set.optional}) {
      for (const auto& key : *keys) {
        INFO("key " << set.map << "." << key << " is neither changed nor exempt in this test");
        CHECK(told.contains(set.map + "." + key));
      }
    }
  }
}

TEST_CASE("the conductivity of the air of a section is told, too", "[solver][resolved]") {
  const std::string text = without_loose_ice();
  CHECK(resolved(replaced(text, "most_cells: 100001",
                          "most_cells: 100001, air_conductivity: 0.1 W/m/K")) !=
        resolved(replaced(text, "most_cells: 100001",
                          "most_cells: 100001, air_conductivity: 0.2 W/m/K")));
}

TEST_CASE("that a block leans on walls is told, too", "[solver][resolved]") {
  const std::string text = without_loose_ice();
  CHECK(resolved(replaced(text, "start: 4.1 degC", "start: 4.1 degC, leans_on: walls")) !=
        resolved(text));
}

TEST_CASE("how a trace is read is told, too", "[solver][resolved]") {
  const auto folder = std::filesystem::temp_directory_path() / "thawline-resolved-trace";
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "two.csv") << "when,left (C),right (C)\n02/03/2026 14:00,4,5\n"
                                       "02/03/2026 14:10,4,5\n02/03/2026 14:20,4,5\n"
                                       "02/03/2026 15:30,4,5\n";
  const auto with = [&folder](const std::string& keys) {
    return resolved(replaced(everything, "{mean: 24.1 degC, swing: 5.1 K, warmest_at: 5.2 h}",
                             "{trace: " + (folder / "two.csv").string() + ", " + keys + "}"));
  };
  const std::string one = with("channel: left, dates: day_first");
  CHECK(with("channel: right, dates: day_first") != one);
  CHECK(with("channel: left, dates: month_first") != one);
  CHECK(with("channel: left, dates: day_first, hour_jumps: taken_out") != one);
  CHECK(with("channel: left, dates: day_first, hour_jumps: as_written") == one);
  std::filesystem::remove_all(folder);
}
