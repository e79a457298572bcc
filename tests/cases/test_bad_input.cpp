#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "cases/input_error.hpp"
#include "cases/read_case.hpp"
#include "cases/read_material.hpp"
#include "support/allocations.hpp"

namespace {

using namespace thawline::cases;
namespace fs = std::filesystem;

const std::string case_name = "base.yaml";

const std::string base_text = R"(title: Base of all broken cases
materials:
  own_foam:
    title: own foam
    uses: [wall]
    density: {value: 35 kg/m3, source: own foam data}
    heat_capacity: {value: 1400 J/kg/K, valid: [-40 degC, 70 degC], source: own foam data}
    conductivity: {table: [[0 degC, 0.024 W/m/K], [20 degC, 0.026 W/m/K]], source: own foam data}
    emissivity: {value: 0.9, source: own foam data}
  own_wax:
    title: own wax
    density: {value: 800 kg/m3, source: own wax data}
    heat_capacity:
      solid: {value: 2.1 kJ/kg/K, valid: [-20 degC, 3 degC], source: own wax data}
      liquid: {value: 2.2 kJ/kg/K, valid: [6 degC, 40 degC], source: own wax data}
    conductivity:
      solid: {value: 0.3 W/m/K, valid: [-20 degC, 3 degC], source: own wax data}
      liquid: {value: 0.15 W/m/K, valid: [6 degC, 40 degC], source: own wax data}
    melting:
      law: range
      solidus: {value: 3 degC, source: own wax data}
      liquidus: {value: 6 degC, source: own wax data}
      latent_heat: {value: 180 kJ/kg, source: own wax data}
  own_brine:
    title: own brine
    density: {value: 1000 kg/m3, source: own brine data}
    heat_capacity:
      solid: {value: 1.9 kJ/kg/K, valid: [-40 degC, -21 degC], source: own brine data}
      liquid: {value: 3.6 kJ/kg/K, valid: [-21 degC, 30 degC], source: own brine data}
    conductivity:
      solid: {value: 2 W/m/K, valid: [-40 degC, -21 degC], source: own brine data}
      liquid: {value: 0.5 W/m/K, valid: [-21 degC, 30 degC], source: own brine data}
    melting:
      law: lever
      composition: {value: 0.1, source: own brine data}
      eutectic_point: {value: -21.1 degC, source: own brine data}
      eutectic_composition: {value: 0.233, source: own brine data}
      eutectic_latent_heat: {value: 230 kJ/kg, source: own brine data}
      latent_heat: {value: 333 kJ/kg, source: own brine data}
      liquidus: {table: [[0, 0 degC], [0.1, -6.5 degC], [0.233, -21.1 degC]], source: own}
  own_curd:
    title: own curd
    density: {value: 1050 kg/m3, source: own curd data}
    heat_capacity:
      solid: {value: 2 kJ/kg/K, valid: [-40 degC, -1 degC], source: own curd data}
      liquid: {value: 3.6 kJ/kg/K, valid: [-1 degC, 30 degC], source: own curd data}
    conductivity:
      solid: {value: 1.5 W/m/K, valid: [-40 degC, -1 degC], source: own curd data}
      liquid: {value: 0.5 W/m/K, valid: [-1 degC, 30 degC], source: own curd data}
    melting:
      law: dilute
      freezing_point: {value: -0.8 degC, source: own curd data}
      water: {value: 0.75, source: own curd data}
      latent_heat: {value: 333 kJ/kg, source: own curd data}
      floor: {value: -38 degC, source: own curd data}
  own_gel:
    title: own gel
    density: {value: 900 kg/m3, source: own gel data}
    heat_capacity:
      solid: {value: 2 kJ/kg/K, valid: [-40 degC, 4 degC], source: own gel data}
      liquid: {value: 2.3 kJ/kg/K, valid: [8 degC, 30 degC], source: own gel data}
    conductivity:
      solid: {value: 0.3 W/m/K, valid: [-40 degC, 4 degC], source: own gel data}
      liquid: {value: 0.2 W/m/K, valid: [8 degC, 30 degC], source: own gel data}
    melting:
      law: table
      enthalpy:
        table: [[4 degC, 0 kJ/kg, 0], [6 degC, 120 kJ/kg, 0.7], [8 degC, 170 kJ/kg, 1]]
        source: own gel data
box:
  inside: {length: 50 cm, width: 40 cm, height: 30 cm}
  wall:
    - {material: hdpe, thickness: 3 mm}
    - {air_gap: 15 mm, emissivity: 0.85}
    - {material: own_foam, thickness: 40 mm}
    - {material: hdpe, thickness: 2 mm}
  lid:
    - {material: hdpe, thickness: 4 mm}
    - {material: own_foam, thickness: 50 mm}
  gasket_leak: 0.03 W/K
  gasket_air_changes: 0.5 1/h
  inside_emissivity: 0.91
  inside_coefficient: 5 W/m2/K
coolant:
  - name: ice
    material: water_ice
    amount: 4 kg
    form: loose
    melt_water: drained
    start: -10 degC
  - name: plate
    material: own_brine
    amount: {count: 2, each: 500 g}
    form: pack
    thickness: 25 mm
    stacked: 2
    place: lid
    start: -30 degC
    contact: {coefficient: 40 W/m2/K, area: 0.02 m2}
  - name: slab
    material: own_wax
    amount: 1.5 L
    form: sheet
    thickness: 20 mm
    place: sides
    start_liquid_fraction: 0.25
payload:
  - name: drinks
    contents: cola
    cans:
      count: 12
      volume: 0.33 L
      diameter: 66 mm
      height: 115 mm
      shell: {material: aluminium, thickness: 0.1 mm}
      detail: radial
    start: 20 degC
  - name: fish
    contents: fish_fillet
    block: {amount: 1.2 kg, thickness: 33 mm}
    start: 2 degC
    liquid_mixing: 1
surroundings:
  air: {mean: 26 degC, swing: 6 K, warmest_at: 7 h}
  wind: 3 m/s
  long_wave: on
  stands_on: {coefficient: 7 W/m2/K, temperature: 24 degC}
happenings:
  - {at: 6 h, open_lid: 1 min, air_changes: 4 1/min}
  - {at: 8 h, add: fish}
  - {at: 20 h, remove: fish}
limits:
  - {name: drinks cold, probe: [drinks core, air], not_above: 5 degC}
run:
  duration: 72 h
  detail: 1d
  accuracy: 0.02 K
  output_every: 10 min
  fields: on
)";

const MaterialShelf& shelf() {
  static const MaterialShelf read =
      read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  return read;
}

/// One way to break the base case. The message must stand at the first character of `place` in the
/// broken text.
struct Broken {
  const char* name;
  const char* from;
  const char* to;
  const char* place;
  const char* phrase;
};

std::string edited(const std::string& from, const std::string& to) {
  std::string text = base_text;
  const auto found = text.find(from);
  INFO("to be replaced: " << from);
  REQUIRE(found != std::string::npos);
  REQUIRE(text.find(from, found + 1) == std::string::npos);
  return text.replace(found, from.size(), to);
}

std::string place_of(const std::string& text, const std::string& file, const std::string& place) {
  const auto found = text.find(place);
  INFO("place: " << place);
  REQUIRE(found != std::string::npos);
  int line = 1;
  std::size_t start = 0;
  for (std::size_t i = 0; i < found; ++i) {
    if (text[i] != '\n') continue;
    ++line;
    start = i + 1;
  }
  return file + ":" + std::to_string(line) + ":" + std::to_string(found - start + 1) + ": ";
}

std::string first_line(const std::string& message) { return message.substr(0, message.find('\n')); }

void check_noise(const std::string& message) {
  const std::string sentence = first_line(message);
  CHECK(sentence.size() < 400);
  CHECK_THAT(sentence, !Catch::Contains("yaml-cpp") && !Catch::Contains(" nan"));
  CHECK_THAT(message, !Catch::Contains("bad conversion") && !Catch::Contains("invalid node"));
  CHECK(sentence.find_first_of("\t\r\033") == std::string::npos);
}

template <typename Reading>
std::string message_of(const Reading& reading) {
  try {
    reading();
  } catch (const InputError& error) {
    check_noise(error.what());
    return error.what();
  }
  return "read without an InputError";
}

std::string text_message(const std::string& text, const std::string& file = case_name) {
  return message_of([&] { (void)read_case_text(file, text, shelf()); });
}

void check_all(const std::vector<Broken>& table) {
  for (const auto& broken : table) {
    INFO("broken case: " << broken.name);
    const std::string text = edited(broken.from, broken.to);
    const std::string message = first_line(text_message(text));
    CHECK_THAT(message, Catch::StartsWith(place_of(text, case_name, broken.place)));
    CHECK_THAT(message, Catch::Contains(broken.phrase));
  }
}

/// A folder for files, gone with the object.
class Scratch {
 public:
  Scratch() : folder_(fs::temp_directory_path() / ("thawline-bad-" + std::to_string(getpid()))) {
    fs::create_directories(folder_);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() {
    std::error_code error;
    fs::remove_all(folder_, error);
  }

  [[nodiscard]] std::string path(const std::string& name) const {
    return (folder_ / name).string();
  }
  [[nodiscard]] std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(path(name), std::ios::binary) << text;
    return path(name);
  }

 private:
  fs::path folder_;
};

std::string file_message(const std::string& file) {
  return message_of([&] { (void)read_case(file, shelf()); });
}

std::string repeated(const std::string& piece, int times) {
  std::string text;
  for (int i = 0; i < times; ++i) text += piece;
  return text;
}

}  // namespace

TEST_CASE("the case that gets broken is good itself", "[cases]") {
  const Case c = read_case_text(case_name, base_text, shelf());
  CHECK(c.coolants.size() == 3);
  CHECK(c.payloads.size() == 2);
  CHECK(c.happenings.size() == 3);
  CHECK(c.limits.size() == 1);
  CHECK(c.notices.empty());
}

TEST_CASE("happenings after the end are noticed", "[cases]") {
  const Case c = read_case_text(case_name, edited("duration: 72 h", "duration: 12 h"), shelf());
  REQUIRE(c.notices.size() == 1);
  CHECK_THAT(c.notices.front(), Catch::Contains("after the end of the run"));
}

TEST_CASE("a metal liner is named where one dimension cannot follow it", "[cases]") {
  const std::string root = THAWLINE_SOURCE_DIR;
  const auto shelf = read_material_folder(root + "/cases/materials");
  const auto text = [&](const std::string& detail, const std::string& liner) {
    return "title: liner\nbox:\n  inside: {length: 40 cm, width: 30 cm, height: 30 cm}\n  wall:\n"
           "    - {material: " +
           liner +
           ", thickness: 1 mm}\n    - {material: xps, thickness: 40 mm}\n"
           "surroundings: {air: 25 degC}\nrun: {duration: 1 h, detail: " +
           detail + "}\n";
  };
  const auto named = read_case_text("liner.yaml", text("1d", "aluminium"), shelf).notices;
  REQUIRE(named.size() == 1);
  CHECK_THAT(named.front(), Catch::Contains("aluminium") && Catch::Contains("detail: 2d"));
  CHECK(read_case_text("liner.yaml", text("2d", "aluminium"), shelf).notices.empty());
  CHECK(read_case_text("liner.yaml", text("1d", "pp"), shelf).notices.empty());
}

TEST_CASE("missing keys are named", "[cases]") {
  check_all({
      {"no title", "title: Base of all broken cases\n", "", "materials:", "'title' is missing"},
      {"no run",
       "run:\n  duration: 72 h\n  detail: 1d\n  accuracy: 0.02 K\n  output_every: 10 min"
       "\n  fields: on\n",
       "", "title: Base", "'run' is missing"},
      {"no duration", "  duration: 72 h\n", "", "detail: 1d", "'duration' is missing"},
      {"no inside", "  inside: {length: 50 cm, width: 40 cm, height: 30 cm}\n", "",
       "wall:", "'inside' is missing"},
      {"no width", "width: 40 cm, ", "", "{length: 50 cm", "'width' is missing"},
      {"round without height", "length: 50 cm, width: 40 cm, height: 30 cm", "diameter: 40 cm",
       "{diameter", "'height' is missing"},
      {"layer without thickness", "{material: hdpe, thickness: 3 mm}", "{material: hdpe}",
       "{material: hdpe}", "'thickness' is missing"},
      {"no form", "    form: loose\n", "", "name: ice", "'form' is missing"},
      {"no amount", "    amount: 4 kg\n", "", "name: ice", "'amount' is missing"},
      {"pack without thickness", "    thickness: 25 mm\n", "", "name: plate",
       "'thickness' is missing"},
      {"no each", "{count: 2, each: 500 g}", "{count: 2}", "{count: 2}", "'each' is missing"},
      {"no contents", "    contents: cola\n", "", "name: drinks", "'contents' is missing"},
      {"payload without start", "    start: 20 degC\n", "", "name: drinks", "'start' is missing"},
      {"can without height", "      height: 115 mm\n", "", "count: 12", "'height' is missing"},
      {"shell without thickness", "{material: aluminium, thickness: 0.1 mm}",
       "{material: aluminium}", "{material: aluminium}", "'thickness' is missing"},
      {"block without amount", "amount: 1.2 kg, ", "", "{thickness: 33 mm}", "'amount' is missing"},
      {"no air", "  air: {mean: 26 degC, swing: 6 K, warmest_at: 7 h}\n", "",
       "wind:", "'air' is missing"},
      {"no swing", "swing: 6 K, ", "", "{mean: 26", "'swing' is missing"},
      {"happening of no kind", "{at: 8 h, add: fish}", "{at: 8 h}", "{at: 8 h}",
       "needs one of 'open_lid', 'add' and 'remove'"},
      {"happening at no time", "{at: 8 h, add: fish}", "{add: fish}", "{add: fish}",
       "'at' is missing"},
      {"no probe", "probe: [drinks core, air], ", "", "{name: drinks cold", "'probe' is missing"},
      {"no law", "      law: range\n", "", "solidus:", "'law' is missing"},
      {"no solidus", "      solidus: {value: 3 degC, source: own wax data}\n", "", "law: range",
       "'solidus' is missing"},
      {"no source", "{value: 35 kg/m3, source: own foam data}", "{value: 35 kg/m3}",
       "{value: 35 kg/m3}", "'source' is missing"},
      {"no source of a table", ", [20 degC, 0.026 W/m/K]], source: own foam data}",
       ", [20 degC, 0.026 W/m/K]]}", "{table: [[0 degC, 0.024", "'source' is missing"},
      {"no valid", "valid: [-40 degC, 70 degC], ", "", "{value: 1400", "'valid' is missing"},
      {"one phase where two are wanted",
       "      liquid: {value: 2.2 kJ/kg/K, valid: [6 degC, 40 "
       "degC], source: own wax data}\n",
       "", "solid: {value: 2.1", "'liquid' is missing"},
  });
}

TEST_CASE("misspelt keys bring the nearest one", "[cases]") {
  check_all({
      {"case", "coolant:\n", "colant:\n", "colant:", "did you mean 'coolant'?"},
      {"box", "gasket_leak:", "gaskt_leak:", "gaskt_leak", "did you mean 'gasket_leak'?"},
      {"inside", "width: 40 cm", "widht: 40 cm", "widht", "did you mean 'width'?"},
      {"round inside", "length: 50 cm, width: 40 cm, ", "diametre: 40 cm, ", "diametre",
       "did you mean 'diameter'?"},
      {"solid layer", "{material: hdpe, thickness: 3 mm}", "{material: hdpe, thikness: 3 mm}",
       "thikness", "did you mean 'thickness'?"},
      {"gap layer", "air_gap: 15 mm", "air_gp: 15 mm", "air_gp", "did you mean 'air_gap'?"},
      {"gap layer with more", "emissivity: 0.85", "emisivity: 0.85", "emisivity",
       "did you mean 'emissivity'?"},
      {"coolant", "melt_water:", "meltwater:", "meltwater", "did you mean 'melt_water'?"},
      {"amount by count", "each: 500 g", "eech: 500 g", "eech", "did you mean 'each'?"},
      {"contact", "coefficient: 40 W", "coeficient: 40 W", "coeficient",
       "did you mean 'coefficient'?"},
      {"payload", "contents: cola", "content: cola", "content: cola", "did you mean 'contents'?"},
      {"cans", "volume: 0.33 L", "volum: 0.33 L", "volum:", "did you mean 'volume'?"},
      {"shell", "{material: aluminium,", "{materiel: aluminium,", "materiel",
       "did you mean 'material'?"},
      {"block", "thickness: 33 mm", "thicknes: 33 mm", "thicknes: 33", "did you mean 'thickness'?"},
      {"surroundings", "wind: 3 m/s", "wnd: 3 m/s", "wnd", "did you mean 'wind'?"},
      {"daily wave", "warmest_at", "warmst_at", "warmst_at", "did you mean 'warmest_at'?"},
      {"trace", "{mean: 26 degC, swing: 6 K, warmest_at: 7 h}", "{trce: air.csv}", "trce",
       "did you mean 'trace'?"},
      {"stands_on", "temperature: 24 degC", "temprature: 24 degC", "temprature",
       "did you mean 'temperature'?"},
      {"open_lid", "open_lid: 1 min", "opn_lid: 1 min", "opn_lid", "did you mean 'open_lid'?"},
      {"add", "{at: 8 h, add: fish}", "{at: 8 h, ad: fish}", "ad: fish", "did you mean 'a"},
      {"remove", "remove: fish", "remov: fish", "remov:", "did you mean 'remove'?"},
      {"limit", "not_above", "not_abov", "not_abov", "did you mean 'not_above'?"},
      {"run", "accuracy", "acuracy", "acuracy", "did you mean 'accuracy'?"},
      {"material", "title: own foam\n", "titel: own foam\n", "titel", "did you mean 'title'?"},
      {"by phase", "liquid: {value: 2.2", "liqid: {value: 2.2", "liqid", "did you mean 'liquid'?"},
      {"constant", "{value: 35 kg/m3", "{valeu: 35 kg/m3", "valeu", "did you mean 'value'?"},
      {"table", "{table: [[0 degC, 0.024", "{tabel: [[0 degC, 0.024", "tabel",
       "did you mean 'table'?"},
      {"melting by range", "solidus: {", "solidous: {", "solidous", "did you mean 'solidus'?"},
      {"melting by lever", "eutectic_composition: {", "eutetic_composition: {", "eutetic_comp",
       "did you mean 'eutectic_composition'?"},
      {"melting, dilute", "water: {value: 0.75", "watr: {value: 0.75", "watr",
       "did you mean 'water'?"},
      {"melting by table", "enthalpy:\n", "entalpy:\n", "entalpy", "did you mean 'enthalpy'?"},
      {"a key like none", "  wind: 3 m/s\n", "  qqqqqqqqqqqq: 3 m/s\n", "qqqqqqqqqqqq",
       "the keys here are air, wind"},
      {"a key of another law", "law: range\n", "law: range\n      water: {value: 1, source: x}\n",
       "water: {value: 1, source: x}", "unknown key 'water'"},
      {"a key of a round box", "{length: 50 cm, ", "{diameter: 30 cm, length: 50 cm, ",
       "length: 50 cm", "unknown key 'length'"},
  });
}

TEST_CASE("quantities need the right unit", "[cases]") {
  check_all({
      {"bare number", "thickness: 25 mm", "thickness: 25", "25\n", "'25' has no unit"},
      {"bare duration", "duration: 72 h", "duration: 72", "72\n", "has no unit"},
      {"unknown unit", "72 h", "72 hourz", "72 hourz", "'hourz' is not a known unit"},
      {"other dimension", "width: 40 cm", "width: 40 kg", "40 kg", "'40 kg' is not a length"},
      {"area for a length", "width: 40 cm", "width: 40 cm2", "40 cm2", "is not a length"},
      {"reciprocal", "gasket_air_changes: 0.5 1/h", "gasket_air_changes: 2 h", "2 h",
       "'2 h' is not a rate"},
      {"resistance for a coefficient", "inside_coefficient: 5 W/m2/K",
       "inside_coefficient: 5 m2.K/W", "5 m2.K/W", "is not a heat transfer coefficient"},
      {"coulomb for Celsius", "    start: 20 degC", "    start: 20 C", "20 C", "is not a temper"},
      {"temperature for a difference", "swing: 6 K", "swing: 6 degC", "6 degC, warmest",
       "a difference is written in kelvin"},
      {"accuracy in Celsius", "0.02 K", "0.02 degC", "0.02 degC", "a difference is written in"},
      {"decimal comma", "thickness: 20 mm", "thickness: 20,5 mm", "20,5 mm", "has a comma"},
      {"thousands apart", "width: 40 cm", "width: 1 000 mm", "1 000 mm", "holds two numbers"},
      {"unit first", "wind: 3 m/s", "wind: m/s 3", "m/s 3", "is not a number with a unit"},
      {"a word", "wind: 3 m/s", "wind: strong", "strong", "is not a number with a unit"},
      {"no number", "not_above: 5 degC", "not_above: ~", "not_above", "is empty"},
      {"not a number", "accuracy: 0.02 K", "accuracy: nan K", "nan K", "not a finite number"},
      {"YAML infinity", "duration: 72 h", "duration: .inf", ".inf", "is not a number with a unit"},
      {"infinity with a unit", "duration: 72 h", "duration: inf h", "inf h", "not a finite number"},
      {"beyond a double", "duration: 72 h", "duration: 1e999 h", "1e999 h", "not a finite number"},
      {"amount without a unit", "amount: 4 kg", "amount: 4", "4\n    form: loose",
       "neither a mass nor a volume"},
      {"unit on a plain number", "emissivity: 0.85", "emissivity: 0.85 m", "0.85 m",
       "is not a plain finite number"},
      {"NaN as a plain number", "emissivity: 0.85", "emissivity: .nan", ".nan",
       "is not a plain finite number"},
      {"half a can", "count: 12", "count: 12.5", "12.5", "is not a whole number"},
      {"switch", "long_wave: on", "long_wave: onn", "onn", "did you mean 'on'?"},
  });
}

TEST_CASE("values out of range are refused", "[cases]") {
  check_all({
      {"negative length", "width: 40 cm", "width: -40 cm", "-40 cm", "is out of range"},
      {"zero length", "thickness: 40 mm", "thickness: 0 mm", "0 mm", "is out of range"},
      {"negative mass", "amount: 4 kg", "amount: -4 kg", "-4 kg", "is out of range"},
      {"zero mass", "amount: 4 kg", "amount: 0 kg", "0 kg\n", "is out of range"},
      {"huge mass", "amount: 4 kg", "amount: 4e30 kg", "4e30 kg", "is out of range"},
      {"zero count", "count: 12", "count: 0", "0\n      volume", "is out of range"},
      {"huge count", "count: 12", "count: 99999999999", "99999999999", "is out of range"},
      {"below absolute zero", "    start: 20 degC", "    start: -300 degC", "-300 degC",
       "allowed is -200 to 100 degC"},
      {"boiling air", "mean: 26 degC", "mean: 500 degC", "500 degC", "is out of range"},
      {"negative swing", "swing: 6 K", "swing: -6 K", "-6 K", "is out of range"},
      {"warmest after two days", "warmest_at: 7 h", "warmest_at: 48 h", "48 h", "out of range"},
      {"negative leak", "gasket_leak: 0.03 W/K", "gasket_leak: -0.03 W/K", "-0.03 W/K",
       "is out of range"},
      {"emissivity above 1", "inside_emissivity: 0.91", "inside_emissivity: 1.91", "1.91",
       "is out of range"},
      {"gale", "wind: 3 m/s", "wind: 300 m/s", "300 m/s", "is out of range"},
      {"no duration", "duration: 72 h", "duration: 0 h", "0 h\n  detail", "is out of range"},
      {"a thousand years", "duration: 72 h", "duration: 1000000 d", "1000000 d", "is out of range"},
      {"zero accuracy", "accuracy: 0.02 K", "accuracy: 0 K", "0 K", "is out of range"},
      {"too many outputs", "output_every: 10 min", "output_every: 1 s", "1 s", "more than 200000"},
      {"zero output interval", "output_every: 10 min", "output_every: 0 s", "0 s", "out of range"},
      {"fraction above 1", "start_liquid_fraction: 0.25", "start_liquid_fraction: 1.25", "1.25",
       "is out of range"},
      {"mixing below 1", "liquid_mixing: 1", "liquid_mixing: 0.5", "0.5\nsurroundings",
       "is out of range"},
      {"zero contact area", "area: 0.02 m2", "area: 0 m2", "0 m2", "is out of range"},
      {"stacked nowhere", "stacked: 2", "stacked: 0", "0\n    place: lid", "is out of range"},
      {"lid open for no time", "open_lid: 1 min", "open_lid: 0 min", "0 min", "is out of range"},
      {"before the start", "{at: 6 h, open", "{at: -6 h, open", "-6 h", "is out of range"},
      {"limit above boiling", "not_above: 5 degC", "not_above: 500 degC", "500 degC",
       "is out of range"},
  });
}

TEST_CASE("contents that do not fit or do not agree are refused", "[cases]") {
  check_all({
      {"too much in all", "count: 12", "count: 150", "{length: 50 cm",
       "at the start the contents take"},
      {"too much from 8 h", "{amount: 1.2 kg,", "{amount: 55 kg,", "{length: 50 cm",
       "from 8 h the contents take"},
      {"pack too thick", "thickness: 20 mm", "thickness: 40 cm", "name: slab",
       "does not fit in the box"},
      {"stack too thick", "stacked: 2", "stacked: 20", "name: plate", "does not fit in the box"},
      {"pack too flat", "thickness: 25 mm", "thickness: 1 mm", "name: plate",
       "lying flat this coolant takes 0.5"},
      {"packs under the lid together", "    place: sides\n    start_liquid_fraction: 0.25",
       "    place: lid\n    start_liquid_fraction: 0.25\n  - {name: more, material: water_ice, "
       "amount: 3 kg, form: pack, thickness: 20 mm, place: lid, start: -5 degC}",
       "- name: ice", "cover more of one wall than there is"},
      {"can too small", "volume: 0.33 L", "volume: 0.5 L", "0.5 L", "more than the can holds"},
      {"can too high", "height: 115 mm", "height: 60 cm", "60 cm", "does not stand in the box"},
      {"can too wide", "diameter: 66 mm", "diameter: 60 cm", "60 cm", "does not fit in the box"},
      {"block too thick", "thickness: 33 mm", "thickness: 1 m", "1 m}", "does not fit in the box"},
      {"warm coolant", "start: -10 degC", "start: 10 degC", "10 degC",
       "warmer than the melting point of water_ice (0.0 degC)"},
      {"loose pieces of no size in a freezer", "start: -10 degC", "start: {in: -18 degC, for: 2 h}",
       "{in: -18 degC, for: 2 h}", "add 'pieces: {each: 10 mL}'"},
      {"bulk of a pack", "amount: 1.5 L", "amount: {bulk: 1.5 L}", "1.5 L}",
       "only loose pieces have a bulk"},
      {"displacement as a mass", "amount: 4 kg", "amount: {displaces: 4.7 kg}", "4.7 kg", "0.33 L"},
      {"pieces of no unit", "amount: 4 kg", "amount: 4 kg\n    pieces: {each: 17}", "17}",
       "neither a mass nor a volume"},
      {"pieces by count", "amount: 4 kg", "amount: 4 kg\n    pieces: {each: 10 mL, count: 7}",
       "count: 7", "unknown key 'count'"},
      {"freezer without a time", "start: -10 degC", "start: {in: -18 degC}", "{in: -18 degC}",
       "the key 'for' is missing"},
      {"freezer for a temperature", "start: -10 degC", "start: {in: -18 degC, for: 5 degC}",
       "5 degC}", "48 h"},
      {"another key in a freezer", "start: -10 degC", "start: {in: -18 degC, for: 2 h, at: 3 h}",
       "at: 3 h", "unknown key 'at'"},
      {"start twice", "start_liquid_fraction: 0.25",
       "start_liquid_fraction: 0.25\n    start: 0 "
       "degC",
       "0.25\n", "not both"},
      {"no start", "    start: -30 degC\n", "", "name: plate",
       "'start' is missing (or 'start_liquid_fraction')"},
      {"fraction of what never melts", "    material: own_wax\n", "    material: own_foam\n",
       "0.25\npayload", "does not melt"},
      {"cans and block", "    block: {amount",
       "    cans: {count: 1, volume: 0.1 L, diameter: 50 mm, height: 80 mm}\n    block: {amount",
       "name: fish", "needs either 'cans' or 'block'"},
      {"neither cans nor block", "    block: {amount: 1.2 kg, thickness: 33 mm}\n", "",
       "name: fish", "needs either 'cans' or 'block'"},
      {"same coolant name", "name: plate", "name: ice # again", "ice # again",
       "two things are called 'ice'"},
      {"coolant and payload alike", "name: fish\n", "name: ice # cold\n", "ice # cold",
       "two things are called 'ice'"},
      {"same name by default", "  - name: slab\n    material: own_wax\n",
       "  - material: own_brine\n    form: pack\n    amount: 100 g\n    thickness: 20 mm\n"
       "    start: -30 degC\n  - material: own_brine\n",
       "material: own_brine\n    amount: 1.5 L", "two things are called 'own_brine'"},
      {"named air", "name: fish\n", "name: air\n", "air\n    contents",
       "two things are called 'air'"},
      {"named like a probe", "name: fish\n", "name: slab core\n", "slab core",
       "two things are called 'slab core'"},
      {"two loose coolants", "    form: sheet\n    thickness: 20 mm\n    place: sides\n",
       "    form: loose\n", "- name: ice", "only one loose coolant"},
      {"thick loose coolant", "melt_water: drained", "thickness: 20 mm # ice", "20 mm # ice",
       "a loose coolant has no thickness"},
      {"loose under the lid", "melt_water: drained", "place: lid # ice", "lid # ice",
       "a loose coolant lies on the floor"},
      {"pack that drains", "stacked: 2", "melt_water: kept", "kept", "only a loose coolant"},
      {"drained brine", "material: water_ice", "material: own_brine # loose", "drained",
       "one melting point only"},
      {"form", "form: sheet", "form: sheat", "sheat", "did you mean 'sheet'?"},
      {"place", "place: sides", "place: side", "side\n", "did you mean 'sides'?"},
      {"wall that melts", "{material: own_foam, thickness: 40 mm}",
       "{material: own_wax, thickness: 40 mm}", "own_wax, thick", "melts and can't be a wall"},
      {"wall of gas", "{material: own_foam, thickness: 40 mm}", "{material: air, thickness: 9 mm}",
       "air, thick", "is a gas"},
      {"shell that melts", "material: aluminium", "material: own_gel", "own_gel, thick",
       "a shell can't melt"},
      {"wall begins with air", "    - {material: hdpe, thickness: 3 mm}\n", "", "{air_gap",
       "must be solid, not an air gap"},
      {"wall ends with air", "    - {material: own_foam, thickness: 50 mm}\n",
       "    - {air_gap: 10 mm}\n", "{air_gap: 10", "must be solid, not an air gap"},
      {"two gaps touch", "    - {air_gap: 15 mm, emissivity: 0.85}\n",
       "    - {air_gap: 15 mm}\n    - {air_gap: 9 mm}\n", "{air_gap: 9 mm}", "two air gaps touch"},
      {"liner gap on a gap", "  gasket_leak: 0.03", "  liner_gap: 5 mm\n  gasket_leak: 0.03",
       "5 mm\n", "a liner gap needs"},
      {"wind and coefficient", "  wind: 3 m/s\n",
       "  wind: 3 m/s\n  outside_coefficient: 9 W/m2/K\n", "9 W/m2/K",
       "give either 'wind' or 'outside_coefficient'"},
  });
}

TEST_CASE("unknown names bring the nearest one", "[cases]") {
  check_all({
      {"wall material", "{material: own_foam, thickness: 50", "{material: own_fom, thickness: 50",
       "own_fom", "did you mean 'own_foam'?"},
      {"coolant material", "material: water_ice", "material: watr_ice", "watr_ice",
       "did you mean 'water_ice'?"},
      {"material like none", "material: water_ice", "material: zzzzzzzzzzzzzzzz", "zzzz",
       "'thawline materials' lists them"},
      {"contents", "contents: cola", "contents: colla", "colla", "did you mean 'cola'?"},
      {"probe", "[drinks core, air]", "[drinks cor, air]", "drinks cor", "did you mean 'drinks"},
      {"added item", "add: fish", "add: fsh", "fsh", "did you mean 'fish'?"},
      {"removed item", "remove: fish", "remove: fihs", "fihs", "did you mean 'fish'?"},
  });
}

TEST_CASE("happenings and limits must make sense", "[cases]") {
  check_all({
      {"out of order", "{at: 20 h, remove: fish}", "{at: 7 h, remove: fish}", "{at: 7 h",
       "in the order of time"},
      {"openings overlap", "{at: 8 h, add: fish}",
       "{at: 361 min, add: fish}\n"
       "  - {at: 361.5 min, open_lid: 1 min}\n  - {at: 362 min, open_lid: 1 min}",
       "{at: 362 min", "the lid is still open"},
      {"removed twice", "{at: 20 h, remove: fish}",
       "{at: 20 h, remove: fish}\n  - {at: 21 h, remove: fish}", "{at: 21 h", "taken out already"},
      {"added twice", "{at: 20 h, remove: fish}", "{at: 20 h, add: fish}", "{at: 20 h",
       "is in the box or was"},
      {"two kinds at once", "{at: 8 h, add: fish}", "{at: 8 h, add: fish, remove: ice}",
       "remove: ice", "unknown key 'remove'"},
      {"limit on both sides", "not_above: 5 degC", "not_above: 5 degC, not_below: 0 degC",
       "{name: drinks cold", "needs either 'not_above' or 'not_below'"},
      {"no logger error", "not_above: 5 degC", "not_above: 5 degC, logger_error: 0 K", "0 K",
       "logger_error"},
      {"logger error as a temperature", "not_above: 5 degC",
       "not_above: 5 degC, logger_error: 0.71 degC", "0.71 degC", "6 K"},
      {"limit on no side", ", not_above: 5 degC", "", "{name: drinks cold",
       "needs either 'not_above' or 'not_below'"},
      {"fineness of nothing", "detail: 1d", "section: {fineness: 0.01}", "0.01", "out of range"},
      {"conducting air about loose ice", "detail: 1d",
       "detail: 2d\n  section: {air_conductivity: 0.1 W/m/K}", "0.1 W/m/K",
       "does not go with loose coolant"},
      {"unknown key of the section", "detail: 1d", "section: {finenes: 2}", "finenes",
       "did you mean 'fineness'?"},
      {"three-dimensional", "detail: 1d", "detail: 3d", "3d", "'3d' is not one of 1d, 2d"},
      {"sun", "  wind: 3 m/s\n", "  wind: 3 m/s\n  sun: 800 W/m2\n", "800 W/m2",
       "'sun' is part of the case format but not yet computed"},
      {"humidity", "  wind: 3 m/s\n", "  wind: 3 m/s\n  humidity: 60 %\n", "60 %",
       "'humidity' is part of the case format but not yet computed"},
  });
}

TEST_CASE("keys stand once and values have the right shape", "[cases]") {
  check_all({
      {"duplicate key", "  wind: 3 m/s\n", "  wind: 3 m/s\n  wind: 4 m/s\n", "wind: 4 m/s",
       "'wind' stands twice"},
      {"duplicate key in a flow map", "{length: 50 cm,", "{length: 50 cm, length: 51 cm,",
       "length: 51 cm", "'length' stands twice"},
      {"duplicate section", "limits:\n", "title: again\nlimits:\n", "title: again",
       "'title' stands twice"},
      {"duplicate material", "  own_gel:\n", "  own_wax:\n", "own_wax:\n    title: own gel",
       "'own_wax' stands twice"},
      {"list for a map", "  inside: {length: 50 cm, width: 40 cm, height: 30 cm}",
       "  inside: [50 cm, 40 cm, 30 cm]", "[50 cm", "keys with values are expected"},
      {"text for a map", "{coefficient: 7 W/m2/K, temperature: 24 degC}", "deck", "deck",
       "keys with values are expected"},
      {"map for a text", "wind: 3 m/s", "wind: {speed: 3 m/s}", "{speed", "a single word or text"},
      {"list for a text", "duration: 72 h", "duration: [72 h]", "[72 h]", "a single word or text"},
      {"text for a list", "{table: [[0 degC, 0.024 W/m/K], [20 degC, 0.026 W/m/K]],",
       "{table: 0.024 W/m/K,", "0.024 W/m/K,", "a list of rows is expected"},
      {"text for a wall", "[drinks core, air]", "{drinks: core}", "{drinks: core}",
       "a single word or text"},
      {"empty list", "[drinks core, air]", "[]", "[]", "is an empty list"},
      {"empty text", "title: Base of all broken cases", "title: \"\"", "\"\"", "is empty"},
      {"empty value", "title: own foam\n", "title:\n", "title:\n    uses",
       "is empty; a value is expected here"},
      {"empty map", "{amount: 1.2 kg, thickness: 33 mm}", "{}", "{}", "'amount' is missing"},
      {"key that is a list", "  wind: 3 m/s\n", "  ? [a, b]\n  : 3\n", "[a, b]",
       "a key must be a plain word"},
      {"alias", "title: own gel\n", "title: &own own gel\n    note: *own\n", "*own",
       "aliases (*name) are not read"},
      {"control characters in a word", "form: sheet", "form: \"she\\e[31m\\tet\"", "\"she",
       "holds a control character"},
      {"unclosed brace", "height: 30 cm}", "height: 30 cm",
       ":\n    - {material: hdpe, thickness: 3 mm}", "a '{' is not closed by '}'"},
  });
}

TEST_CASE("own materials that are broken are refused", "[cases]") {
  check_all({
      {"liquidus below solidus", "liquidus: {value: 6 degC", "liquidus: {value: 2 degC",
       "{value: 2 degC", "must lie above the solidus"},
      {"table not increasing", "[20 degC, 0.026", "[-20 degC, 0.026", "-20 degC, 0.026",
       "temperatures in a table must increase"},
      {"table of one row", ", [20 degC, 0.026 W/m/K]]", "]", "[[0 degC, 0.024",
       "at least two rows"},
      {"row of three", "[20 degC, 0.026 W/m/K]", "[20 degC, 0.026 W/m/K, 1]", "[20 degC, 0.026",
       "a row of 2 values is expected"},
      {"row of none", "[20 degC, 0.026 W/m/K]", "[]", "[]", "is an empty list"},
      {"negative conductivity", "{value: 0.3 W/m/K, valid: [-20 degC, 3",
       "{value: -0.3 W/m/K, valid: [-20 degC, 3", "-0.3 W/m/K", "is out of range"},
      {"zero heat capacity", "value: 1400 J/kg/K", "value: 0 J/kg/K", "0 J/kg/K", "out of range"},
      {"zero density", "value: 35 kg/m3", "value: 0 kg/m3", "0 kg/m3", "is out of range"},
      {"negative latent heat", "value: 180 kJ/kg", "value: -180 kJ/kg", "-180 kJ/kg",
       "is out of range"},
      {"bare density", "value: 35 kg/m3", "value: 35", "35, source", "has no unit"},
      {"emissivity of 2", "emissivity: {value: 0.9,", "emissivity: {value: 2,", "2, source: own f",
       "is out of range"},
      {"valid backwards", "valid: [-40 degC, 70 degC]", "valid: [70 degC, -40 degC]",
       "-40 degC], source: own foam", "must be the higher one"},
      {"valid of a density", "{value: 35 kg/m3, ", "{value: 35 kg/m3, valid: always, ", "always",
       "two temperatures are expected"},
      {"use", "uses: [wall]", "uses: [wal]", "wal]", "did you mean 'wall'?"},
      {"law", "law: range", "law: rnge", "rnge", "did you mean 'range'?"},
      {"eutectic mismatch", "[0.233, -21.1 degC]", "[0.22, -20 degC]", "{table: [[0, 0 degC]",
       "the last row must be the eutectic"},
      {"beyond the eutectic", "composition: {value: 0.1,", "composition: {value: 0.3,",
       "{value: 0.3, source: own b", "between 0 and the eutectic composition"},
      {"liquidus starts too salty", "[[0, 0 degC], [0.1, -6.5 degC]", "[[0.2, -15 degC]",
       "{table: [[0.2", "no more salt than the composition"},
      {"liquidus that rises", "[0.1, -6.5 degC]", "[0.1, 6.5 degC]", "[0.1, 6.5",
       "the salt must increase and the temperature fall"},
      {"floor above freezing", "floor: {value: -38 degC", "floor: {value: -0.5 degC",
       "{value: -0.5 degC", "below the freezing point"},
      {"freezing above 0 degC", "{value: -0.8 degC", "{value: 0.8 degC", "0.8 degC",
       "out of range"},
      {"water above 1", "{value: 0.75,", "{value: 75,", "75, source", "is out of range"},
      {"enthalpy falls", "[6 degC, 120 kJ/kg, 0.7]", "[6 degC, -120 kJ/kg, 0.7]", "[6 degC, -120",
       "temperature and enthalpy must increase"},
      {"liquid fraction falls", "[8 degC, 170 kJ/kg, 1]", "[8 degC, 170 kJ/kg, 0.5]",
       "[8 degC, 170", "the liquid fraction not fall"},
      {"enthalpy of two columns", "[6 degC, 120 kJ/kg, 0.7]", "[6 degC, 120 kJ/kg]", "[6 degC, 120",
       "a row of 3 values is expected"},
  });
}

TEST_CASE("broken traces are refused with their own place", "[cases]") {
  struct BrokenTrace {
    const char* name;
    const char* text;
    const char* place;  ///< empty: the file as a whole
    const char* phrase;
  };
  const std::vector<BrokenTrace> table{
      {"a gap", "time [h], air [degC]\n0, 20\n1,\n2, 22\n", ":3:3: ", "a reading is missing"},
      {"unordered", "time [h], air [degC]\n0, 20\n2, 21\n1, 22\n", ":4:1: ", "must increase"},
      {"repeated", "time [h], air [degC]\n0, 20\n1, 21\n1, 22\n", ":4:1: ", "stands twice"},
      {"decimal comma", "time [h], air [degC]\n0, 20\n1, 20,5\n", ":3:1: ", "a point, not a comma"},
      {"semicolons and one row", "time [h]; air [degC]\n0; 20\n", ":2:1: ", "ends after 1 reading"},
      {"header without units", "time, air\n0, 20\n1, 21\n", ":1:1: ", "names no unit"},
      {"header with one unit", "time [h], air\n0, 20\n1, 21\n", ":1:11: ", "air [degC]"},
      {"no header", "0, 20\n1, 21\n", ":1:1: ", "names no unit"},
      {"wrong unit of time", "time [m], air [degC]\n0, 20\n1, 21\n", ":1:1: ", "no"},
      {"a rate for a time", "time [1/h], air [degC]\n0, 20\n1, 21\n",
       ":1:1: ", "'1/h' is not a unit of time"},
      {"wrong unit of temperature", "time [h], air [%]\n0, 20\n1, 21\n",
       ":1:11: ", "'%' is not a unit of temperature"},
      {"one row", "time [h], air [degC]\n0, 20\n", ":2:1: ", "ends after 1 reading; at least two"},
      {"header only", "time [h], air [degC]\n", ":1:1: ", "ends after 0 readings; at least two"},
      {"text in a cell", "time [h], air [degC]\n0, 20\n1, warm\n",
       ":3:4: ", "'warm' is not a finite number"},
      {"NaN", "time [h], air [degC]\n0, 20\n1, NaN\n", ":3:4: ", "'NaN' is not a finite number"},
      {"infinite time", "time [h], air [degC]\n0, 20\n1e308, 20\n", ":3:1: ", "10 years"},
      {"too hot", "time [h], air [degC]\n0, 20\n1, 900\n", ":3:4: ", "is out of range"},
      {"kelvin named degC", "time [h], air [degC]\n0, 293\n1, 294\n", ":2:4: ", "out of range"},
      {"only comments", "# nothing\n\n", ":1:1: ", "holds no header; expected one like 'time [h]"},
      {"empty", "", ":1:1: ", "is empty"},
      {"binary", "time [h], air [degC]\n0, \x01\n", ":2:4: ", "is not plain text"},
  };
  const Scratch scratch;
  const std::string text =
      edited("{mean: 26 degC, swing: 6 K, warmest_at: 7 h}", "{trace: air.csv}");
  const std::string file = scratch.write("case.yaml", text);
  const std::string trace = scratch.path("air.csv");
  CHECK_THAT(file_message(file), Catch::StartsWith(place_of(text, file, "air.csv")) &&
                                     Catch::Contains("there is no file"));
  for (const auto& broken : table) {
    INFO("broken trace: " << broken.name);
    (void)scratch.write("air.csv", broken.text);
    const std::string message = file_message(file);
    CHECK_THAT(message, Catch::StartsWith(trace + broken.place));
    CHECK_THAT(message, Catch::Contains(broken.phrase));
  }
  (void)scratch.write("air.csv", "# logger 7\ntime [h], air [degF]\n0, 68\r\n1.5, 70\n");
  const Case c = read_case(file, shelf());
  const auto& read = std::get<Trace>(c.surroundings.air);
  CHECK(read.time.back() == Approx(5400));
  CHECK(read.temperature.front() == Approx(293.15));
}

TEST_CASE("hostile YAML is refused at once", "[cases]") {
  const long before = thawline::test::allocations();
  CHECK_THAT(text_message(repeated("[", 10000)),
             Catch::StartsWith("base.yaml:1:") && Catch::Contains("deeper than 16 levels"));
  CHECK_THAT(text_message(repeated("{a: ", 10000)), Catch::Contains("deeper than 16 levels"));
  CHECK_THAT(text_message(repeated("- ", 10000)), Catch::Contains("deeper than 16 levels"));
  CHECK_THAT(text_message(repeated("? ", 10000)), Catch::Contains("deeper than 16 levels"));
  CHECK_THAT(text_message(repeated("[?", 10000)), Catch::Contains("base.yaml:1:"));
  CHECK_THAT(text_message(repeated("[a: ", 10000)), Catch::Contains("deeper than 16 levels"));
  CHECK_THAT(text_message(repeated("[", 1000000)), Catch::Contains("deeper than 16 levels"));
  CHECK_THAT(text_message(repeated("]", 10000)), Catch::Contains("base.yaml:1:"));
  CHECK_THAT(text_message(repeated("!a ", 10000)), Catch::Contains("base.yaml:"));
  std::string steps;
  for (int depth = 0; depth < 10000; ++depth) {
    steps += std::string(static_cast<std::size_t>(depth), ' ') + "a:\n";
  }
  CHECK_THAT(text_message(steps),
             Catch::StartsWith("base.yaml:17:17: ") && Catch::Contains("deeper than 16 levels"));
  std::string bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n";
  for (int i = 1; i < 12; ++i) {
    const std::string one = "*a" + std::to_string(i - 1);
    bomb += "a" + std::to_string(i) + ": &a" + std::to_string(i) + " [" + one;
    for (int k = 1; k < 10; ++k) bomb += ", " + one;
    bomb += "]\n";
  }
  CHECK_THAT(text_message(bomb), Catch::StartsWith("base.yaml:2:10: ") &&
                                     Catch::Contains("aliases (*name) are not read"));
  CHECK_THAT(text_message("a: &a [*a]\n"), Catch::Contains("aliases (*name) are not read"));
  CHECK_THAT(text_message("<<: *none\n"), Catch::StartsWith("base.yaml:1:5: "));
  // Work is counted by pieces of memory: no tree may be built, nor an alias be followed.
  INFO(thawline::test::allocations() - before << " allocations");
  CHECK(thawline::test::allocations() - before < 2000000);
}

TEST_CASE("text that is no case is refused", "[cases]") {
  const std::string before = "--- \n" + base_text;
  const auto lines = 1 + std::count(before.begin(), before.end(), '\n');
  CHECK_THAT(text_message(before + "---\n" + base_text),
             Catch::StartsWith("base.yaml:" + std::to_string(lines) + ":1: ") &&
                 Catch::Contains("a second YAML document begins here"));
  CHECK_THAT(text_message("# a comment\n"),
             Catch::StartsWith("base.yaml:1:1: ") && Catch::Contains("holds no YAML"));
  CHECK_THAT(
      text_message(edited("  wind: 3 m/s", "\twind: 3 m/s")),
      Catch::StartsWith(place_of(edited("  wind: 3 m/s", "\twind: 3 m/s"), case_name, "\twind")) &&
          Catch::Contains("a tab indents this line"));
  CHECK_THAT(text_message(""), Catch::StartsWith("base.yaml:1:1: ") && Catch::Contains("no YAML"));
  CHECK_THAT(text_message("# only a comment\n"), Catch::Contains("base.yaml"));
  CHECK_THAT(text_message("just words\n"),
             Catch::StartsWith("base.yaml:1:1: keys with values are expected"));
  CHECK_THAT(text_message("- a\n- b\n"), Catch::Contains("keys with values are expected"));
  CHECK_THAT(text_message("title: \"open"), Catch::Contains("a quote is not closed"));
  CHECK_THAT(text_message("title: a: b\n"),
             Catch::StartsWith("base.yaml:1:9: ") && Catch::Contains("stands in quotes"));
  CHECK_THAT(text_message(edited("  wind: 3 m/s", "   wind: 3 m/s")),
             Catch::StartsWith("base.yaml:125:4: ") && Catch::Contains("look at its indentation"));
  CHECK_THAT(text_message("%YAML 9.9\n---\na: b\n"), Catch::Contains("base.yaml"));
  CHECK_THAT(text_message(edited("wind: 3 m/s", "wind: " + std::string(5000, '3'))),
             Catch::Contains("longer than 4000 characters"));
  CHECK_THAT(text_message(edited("wind: 3 m/s", std::string(1000, 'w') + ": 3 m/s")),
             Catch::Contains("unknown key 'www"));
}

TEST_CASE("files that cannot be read are refused", "[cases]") {
  const Scratch scratch;
  CHECK_THAT(file_message(scratch.path("none.yaml")),
             Catch::StartsWith(scratch.path("none.yaml") + ": there is no such file"));
  CHECK_THAT(file_message(fs::path(scratch.path("x")).parent_path().string()),
             Catch::Contains(": is a folder"));
  CHECK_THAT(file_message(scratch.write("empty.yaml", "")), Catch::Contains(":1:1: is empty"));
  CHECK_THAT(file_message(scratch.write("blank.yaml", " \n\n")), Catch::Contains(":1:1: is empty"));
  const std::string binary = scratch.write("binary.yaml", std::string("title: a\nbox: \0\xff", 16));
  CHECK_THAT(file_message(binary), Catch::StartsWith(binary + ":2:6: is not plain text in UTF-8"));
  const std::string latin = scratch.write("latin.yaml", "title: caf\xe9\n");
  CHECK_THAT(file_message(latin), Catch::StartsWith(latin + ":1:11: is not plain text in UTF-8"));
  const std::string large = scratch.write("large.yaml", base_text);
  fs::resize_file(large, 100U << 20U);
  CHECK_THAT(file_message(large), Catch::Contains("holds 104857600 bytes; at most"));
  CHECK_THAT(file_message("/dev/zero"), Catch::Contains("is too large"));
  const std::string locked = scratch.write("locked.yaml", base_text);
  if (geteuid() == 0) {
    WARN("root reads files without permission: that case is not checked");
    return;
  }
  fs::permissions(locked, fs::perms::none);
  CHECK_THAT(file_message(locked), Catch::Contains("cannot be read"));
}
