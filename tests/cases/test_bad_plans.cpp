#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "cases/input_error.hpp"
#include "cases/read_plan.hpp"
#include "solver/heat/taken_up.hpp"

namespace {

using namespace thawline::cases;
namespace fs = std::filesystem;

const std::string materials = std::string(THAWLINE_SOURCE_DIR) + "/cases/materials";

const std::string base_text = R"(title: Base of all plans
box:
  inside: {length: 35 cm, width: 25 cm, height: 28 cm}
  wall:
    - {material: hdpe, thickness: 2 mm}
    - {material: eps, thickness: 30 mm}
  gasket_leak: 0.03 W/K
coolant:
  - name: gel under
    material: gel_pack
    amount: {count: 3, each: 500 g}
    form: pack
    thickness: 25 mm
    place: floor
    start: -18 degC
  - name: gel over
    material: gel_pack
    amount: 1 kg
    form: pack
    thickness: 25 mm
    place: around_payload
    start_liquid_fraction: 0.1
payload:
  name: drinks
  contents: cola
  cans: {count: 10, volume: 0.33 L, diameter: 66 mm, height: 115 mm}
  start: 5 degC
surroundings:
  air: {mean: 24 degC, swing: 5 K, warmest_at: 5 h}
limits:
  - {name: drinks cold, probe: drinks, not_above: 8 degC}
  - {name: not frozen, probe: drinks, not_below: -1 degC}
run:
  duration: 24 h
)";

const std::string plan_text = R"(title: Base of all broken plans
case: base.yaml
vary:
  - {of: box.wall.2.thickness, name: foam, values: [20 mm, 30 mm, 40 mm]}
  - {of: coolant.gel under.start, from: -20 degC, to: -10 degC, steps: 5}
  - together:
      - {of: box.wall.2.material, values: [eps, xps, pu_foam]}
      - {of: title, values: [a, b, c]}
tolerances:
  samples: 200
  seed: 7
  inputs:
    - {of: surroundings.air.mean, normal: 2 K}
    - {of: run.duration, within: 5 %}
    - {of: materials.eps.conductivity, between: [0.033 W/m/K, 0.040 W/m/K]}
histories: none
)";

/// A second one, as a value sought allows no varied length of the run.
const std::string design_text = R"(title: Base of broken design questions
case: base.yaml
vary:
  - {of: box.wall.2.material, name: foam, values: [eps, xps]}
compare:
  of: coolant.gel over
  equal: frozen_energy
  freezer: -18 degC
  until: 5 degC
  amount: 300 kJ
  contenders:
    - {name: gel, material: gel_pack}
    - {name: ice, material: water_ice, thickness: 20 mm, price: 0.5}
tolerances:
  samples: 8
  ranking: off
  inputs:
    - {of: box.gasket_leak, within: 20 %}
find:
  of: box.wall.2.thickness
  name: thickness
  from: 10 mm
  to: 100 mm
  to_within: 0.1 mm
  limit: drinks cold
  hold: 24 h
)";

/// A folder for files, gone with the object.
class Scratch {
 public:
  Scratch() : folder_(fs::temp_directory_path() / ("thawline-plans-" + std::to_string(getpid()))) {
    fs::create_directories(folder_);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() {
    std::error_code error;
    fs::remove_all(folder_, error);
  }

  [[nodiscard]] std::string write(const std::string& name, const std::string& text) const {
    const std::string file = (folder_ / name).string();
    std::ofstream(file, std::ios::binary) << text;
    return file;
  }

 private:
  fs::path folder_;
};

std::string edited(std::string text, const std::string& from, const std::string& to) {
  const auto found = text.find(from);
  INFO("to be replaced: " << from);
  REQUIRE(found != std::string::npos);
  REQUIRE(text.find(from, found + 1) == std::string::npos);
  return text.replace(found, from.size(), to);
}

/// ":LINE:COLUMN: " of the first `place` in the text.
std::string place_of(const std::string& text, const std::string& place) {
  const auto found = text.find(place);
  INFO("place: " << place);
  REQUIRE(found != std::string::npos);
  const auto start = text.rfind('\n', found);
  const auto lines =
      std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(found), '\n');
  const auto column = start == std::string::npos ? found + 1 : found - start;
  return ":" + std::to_string(lines + 1) + ":" + std::to_string(column) + ": ";
}

std::string message_of(const std::string& file) {
  try {
    (void)read_plan(file, materials, thawline::solver::heat_taken_up);
  } catch (const InputError& error) {
    const std::string message = error.what();
    return message.substr(0, message.find('\n'));
  }
  return "read without an InputError";
}

/// One way to break the plan. The message must stand at the first character of `place` in the
/// broken text and hold `phrase`.
struct Broken {
  const char* name;
  const char* from;
  const char* to;
  const char* place;
  const char* phrase;
};

const std::vector<Broken> broken_plans{
    {"no title", "title: Base of all broken plans\n", "", "case:", "'title' is missing"},
    {"no case", "case: base.yaml\n", "", "title: Base", "'case' is missing"},
    {"unknown key", "histories: none", "historys: none", "historys", "did you mean 'histories'?"},
    {"unknown key of an entry", "name: foam, values", "name: foam, valus", "valus",
     "did you mean 'values'?"},
    {"wrong word", "histories: none", "histories: yes", "yes", "is not one of keep, none"},
    {"missing base case", "base.yaml", "bsae.yaml", "bsae.yaml", "there is no file"},
    {"case is a list", "base.yaml", "[base.yaml]", "[base.yaml]", "a single word or text"},
    {"alias", "title: Base", "title: &a Base", "*a", "aliases"},
    {"no entry varies", "  - {of: box.wall.2.thickness, name: foam, values: [20 mm, 30 mm, 40 mm]}",
     "  - {name: foam, values: [20 mm]}", "{name: foam", "'of' is missing"},
    {"neither values nor range", "name: foam, values: [20 mm, 30 mm, 40 mm]", "name: foam",
     "{of: box", "needs either 'values' or 'from'"},
    {"values and range", "name: foam, values: [", "name: foam, from: 1 mm, values: [", "from: 1 mm",
     "unknown key 'from'"},
    {"path in no known place", "box.wall.2.thickness", "bx.wall.2.thickness", "bx.wall",
     "unknown key 'bx'; did you mean 'box'?"},
    {"unknown last key", "box.wall.2.thickness", "box.wall.2.thicknes", "box.wall.2.thicknes",
     "unknown key 'thicknes'; did you mean 'thickness'?"},
    {"missing map on the way", "box.wall.2.thickness", "surroundings.stands_on.coefficient",
     "surroundings.stands_on", "the base case has no 'surroundings.stands_on'"},
    {"path into a text", "box.wall.2.thickness", "title.2", "title.2", "nothing lies below it"},
    {"list position past the end", "box.wall.2.thickness", "box.wall.4.thickness", "box.wall.4",
     "'box.wall' has 2 entries; there is no entry 4"},
    {"list position 0", "box.wall.2.thickness", "box.wall.0.thickness", "box.wall.0",
     "counted from 1"},
    {"name not found", "coolant.gel under.start", "coolant.gel undr.start", "coolant.gel undr",
     "did you mean 'gel under'?"},
    {"list without names", "box.wall.2.thickness", "box.wall.foam.thickness", "box.wall.foam",
     "no entry of 'box.wall' has a name"},
    {"path with a hole", "box.wall.2.thickness", "box..thickness", "box..", "is no path"},
    {"open bracket", "of: box.wall.2.thickness", "of: \"box.wall[2.thickness\"", "\"box.wall[",
     "is no path"},
    {"bracket without quotes", "of: box.wall.2.thickness", "of: box.wall[2].thickness", "[2]",
     "is not valid YAML"},
    {"unknown material", "materials.eps.conductivity", "materials.epps.conductivity",
     "materials.epps", "no material is called 'epps'"},
    {"same path twice", "{of: title, values", "{of: \"box.wall[2].thickness\", values",
     "\"box.wall[2]", "'box.wall[2].thickness' stands in this plan already"},
    {"same place by number and name", "{of: title, values: [a, b, c]}",
     "{of: coolant.1.start, values: [-1 degC, -2 degC, -3 degC]}", "coolant.1.start",
     "stands in this plan already"},
    {"path inside another", "{of: title, values: [a, b, c]}", "{of: box.wall.2, values: [a, b, c]}",
     "box.wall.2, values", "lie one inside the other"},
    {"two columns of one name", "{of: title, values", "{of: title, name: foam, values",
     "foam, values: [a", "two inputs are called 'foam'"},
    {"unit mismatch", "[20 mm, 30 mm, 40 mm]", "[20 mm, 30 kg, 40 mm]", "30 kg",
     "'30 kg' is not a length"},
    {"bare number", "[20 mm, 30 mm, 40 mm]", "[20 mm, 30, 40 mm]", "30, 40", "'30' has no unit"},
    {"word where a quantity belongs", "[20 mm, 30 mm, 40 mm]", "[20 mm, thick, 40 mm]", "thick, 40",
     "is not a number with a unit"},
    {"map where a quantity belongs", "[20 mm, 30 mm, 40 mm]", "[20 mm, {a: b}, 40 mm]", "{a: b}",
     "a single word or text is expected"},
    {"unknown material among values", "[eps, xps, pu_foam]", "[eps, xpss, pu_foam]", "xpss",
     "did you mean 'xps'?"},
    {"empty values", "[20 mm, 30 mm, 40 mm]", "[]", "[]", "is an empty list"},
    {"an empty value", "[20 mm, 30 mm, 40 mm]", "[20 mm, ~, 40 mm]", "~", "is empty"},
    {"values that are no list", "[20 mm, 30 mm, 40 mm]", "20 mm", "20 mm", "a list is expected"},
    {"empty range", "to: -10 degC, ", "", "{of: coolant", "'to' is missing"},
    {"both ends alike", "to: -10 degC", "to: -20 degC", "-20 degC, steps", "equals 'from'"},
    {"one step", "steps: 5", "steps: 1", "1}", "out of range"},
    {"half a step", "steps: 5", "steps: 2.5", "2.5", "is not a whole number"},
    {"ends that do not match", "to: -10 degC", "to: 10 mm", "10 mm, steps",
     "does not match the unit 'degC'"},
    {"range of another dimension", "from: -20 degC, to: -10 degC", "from: 20 mm, to: 10 mm",
     "20 mm, to", "is not a temperature"},
    {"range of words", "from: -20 degC", "from: cold", "cold", "is not a number with a known unit"},
    {"lists of unequal length", "values: [a, b, c]", "values: [a, b]", "{of: title",
     "has 2 values and the first of those it steps with has 3"},
    {"one alone together", "      - {of: title, values: [a, b, c]}\n", "",
     "- {of: box.wall.2.material", "at least two entries"},
    {"together beside values", "  - together:", "  - values: [a]\n    together:", "values: [a]",
     "unknown key 'values'"},
    {"vary is a word",
     "vary:\n  - {of: box.wall.2.thickness, name: foam, values: [20 mm, 30 mm, "
     "40 mm]}\n  - {of: coolant.gel under.start, from: -20 degC, to: -10 degC, steps: 5}\n"
     "  - together:\n      - {of: box.wall.2.material, values: [eps, xps, pu_foam]}\n"
     "      - {of: title, values: [a, b, c]}\n",
     "vary: any of it\n", "any of it", "a list is expected"},
    {"too many cases", "steps: 5", "steps: 9000000", "{of: coolant",
     "asks for 27000000 cases; at most 10000000 are computed"},
    {"too many with the samples", "samples: 200", "samples: 1000000", "1000000",
     "asks for 45000000 cases"},
    {"negative samples", "samples: 200", "samples: -3", "-3", "out of range"},
    {"no samples", "  samples: 200\n", "", "seed: 7", "'samples' is missing"},
    {"seed that is no number", "seed: 7", "seed: lucky", "lucky", "is not a plain finite number"},
    {"tolerances without inputs",
     "  inputs:\n    - {of: surroundings.air.mean, normal: 2 K}\n"
     "    - {of: run.duration, within: 5 %}\n"
     "    - {of: materials.eps.conductivity, between: [0.033 W/m/K, 0.040 W/m/K]}\n",
     "", "samples: 200", "needs 'inputs'"},
    {"empty inputs",
     "  inputs:\n    - {of: surroundings.air.mean, normal: 2 K}\n"
     "    - {of: run.duration, within: 5 %}\n"
     "    - {of: materials.eps.conductivity, between: [0.033 W/m/K, 0.040 W/m/K]}\n",
     "  inputs: []\n", "[]", "is an empty list"},
    {"tolerance of no kind", "{of: run.duration, within: 5 %}", "{of: run.duration}",
     "{of: run.duration", "needs one of 'normal', 'within' and 'between'"},
    {"tolerance of two kinds", "within: 5 %", "within: 5 %, normal: 1 h", "{of: run.duration",
     "needs one of"},
    {"negative spread", "normal: 2 K", "normal: -2 K", "-2 K", "must be more than 0"},
    {"no spread", "within: 5 %", "within: 0 %", "0 %", "must be more than 0"},
    {"spread in degrees", "normal: 2 K", "normal: 2 degC", "2 degC",
     "a difference is written in kelvin"},
    {"spread of another dimension", "normal: 2 K", "normal: 2 mm", "2 mm", "does not match"},
    {"share of a temperature", "normal: 2 K", "normal: 2 %", "2 %", "a share of a temperature"},
    {"ends the wrong way round", "[0.033 W/m/K, 0.040 W/m/K]", "[0.040 W/m/K, 0.033 W/m/K]",
     "0.033", "must be the higher one"},
    {"one end", "[0.033 W/m/K, 0.040 W/m/K]", "[0.033 W/m/K]", "[0.033", "two values are expected"},
    {"ends of another dimension", "[0.033 W/m/K, 0.040 W/m/K]", "[0.033 W/K, 0.040 W/K]", "0.033",
     "is not a thermal conductivity"},
    {"tolerance of a text", "of: run.duration", "of: payload.drinks.contents",
     "payload.drinks.contents", "holds no single number"},
    {"table multiplied by a length", "of: run.duration, within: 5 %",
     "of: materials.gel_pack.conductivity.solid, within: 5 mm", "5 mm", "write a share of it"},
    {"tolerance of two phases", "of: run.duration", "of: materials.gel_pack.conductivity",
     "materials.gel_pack", "holds no single number with a unit, and no table"},
    {"tolerance around nothing", "of: run.duration", "of: run.accuracy", "run.accuracy",
     "the base case has no 'run.accuracy' to lie around"},
    {"between where it varies", "of: materials.eps.conductivity, between: [0.033 W/m/K, 0.040 W",
     "of: box.wall.2.thickness, between: [1 mm, 2 mm, W", "[1 mm", "this place is varied too"},
    {"tolerance around texts", "of: run.duration", "of: title", "title, within",
     "is varied over texts"},
    {"unknown key with a range", "of: coolant.gel under.start", "of: coolant.gel under.strt",
     "coolant.gel under.strt", "unknown key 'strt'; did you mean 'start'?"},
};

const std::vector<Broken> broken_designs{
    {"no coolant named", "  of: coolant.gel over\n", "", "equal: ", "'of' is missing"},
    {"nothing to compare by", "  equal: frozen_energy\n", "", "of: coolant", "'equal' is missing"},
    {"equal in an unknown way", "equal: frozen_energy", "equal: weight", "weight",
     "is not one of volume, bulk, mass, frozen_energy, cost"},
    {"compared in another place", "of: coolant.gel over", "of: payload.drinks", "payload.drinks",
     "is no coolant; name one like coolant.1"},
    {"compared inside a coolant", "of: coolant.gel over", "of: coolant.gel over.material",
     "coolant.gel over.material", "is no coolant"},
    {"compared coolant not there", "of: coolant.gel over", "of: coolant.gel ovr", "coolant.gel ovr",
     "did you mean 'gel over'?"},
    {"amount of another kind", "amount: 300 kJ", "amount: 3 L", "3 L", "is not an energy"},
    {"amount without a unit", "amount: 300 kJ", "amount: 300", "300", "has no unit"},
    {"cost without a total",
     "equal: frozen_energy\n  freezer: -18 degC\n  until: 5 degC\n  amount: 300 kJ", "equal: cost",
     "of: coolant", "'amount' is missing (the cost of each)"},
    {"cost with a unit",
     "equal: frozen_energy\n  freezer: -18 degC\n  until: 5 degC\n  amount: 300 kJ",
     "equal: cost\n  amount: 5 kg", "5 kg", "is not a plain finite number"},
    {"cost without a price",
     "equal: frozen_energy\n  freezer: -18 degC\n  until: 5 degC\n  amount: 300 kJ",
     "equal: cost\n  amount: 5", "{name: gel, material", "'price' is missing (for a kilogram)"},
    {"freezer that is no temperature", "freezer: -18 degC", "freezer: cold", "cold",
     "is not a number with a unit"},
    {"freezer and a start", "material: gel_pack}", "material: gel_pack, start: -5 degC}", "-5 degC",
     "all contenders come from the 'freezer' given above"},
    {"freezer too warm for a contender", "material: gel_pack}", "material: nacl_eutectic}",
     "{name: gel, material", "warmer than the melting point of nacl_eutectic (-21.1 degC)"},
    {"no heat taken up", "until: 5 degC", "until: -20 degC", "{name: gel, material",
     "takes up no heat from -18.0 to -20.0 degC"},
    {"contender of an unknown material", "material: gel_pack}", "material: gel_pak}",
     "{name: gel, material", "did you mean 'gel_pack'?"},
    {"contender with an amount", "material: gel_pack}", "material: gel_pack, amount: 1 kg}",
     "amount: 1 kg", "unknown key 'amount'"},
    {"contender with a wrong form", "material: gel_pack}", "material: gel_pack, form: lose}",
     "{name: gel, material", "did you mean 'loose'?"},
    {"contenders of one name", "name: ice", "name: gel", "gel, material: water_ice",
     "two contenders are called 'gel'"},
    {"price of nothing", "price: 0.5", "price: 0", "0}", "out of range"},
    {"no contenders",
     "    - {name: gel, material: gel_pack}\n"
     "    - {name: ice, material: water_ice, thickness: 20 mm, price: 0.5}\n",
     "    []\n", "[]", "is an empty list"},
    {"coolant compared and varied", "of: box.wall.2.material, name: foam, values: [eps, xps]",
     "of: coolant.gel over.start, values: [-5 degC, -6 degC]", "coolant.gel over\n",
     "lie one inside the other"},
    {"coolant compared and uncertain", "of: box.gasket_leak, within: 20 %",
     "of: coolant.gel over.start, within: 2 K", "coolant.gel over.start",
     "lie one inside the other"},
    {"ranking neither on nor off", "ranking: off", "ranking: maybe", "maybe", "on, off"},
    {"ranked by a hold time that is given", "ranking: off", "ranking: on", "on\n",
     "inputs are ranked for the hold time, which 'find' gives"},
    {"nothing sought", "  of: box.wall.2.thickness\n", "", "name: thickness", "'of' is missing"},
    {"no wanted hold time", "  hold: 24 h\n", "", "of: box.wall.2.thickness", "'hold' is missing"},
    {"hold time of another kind", "hold: 24 h", "hold: 24 K", "24 K", "is not a time"},
    {"hold time of a year", "hold: 24 h", "hold: 365 d", "365 d", "out of range"},
    {"sought over words", "from: 10 mm", "from: thin", "thin\n",
     "is not a number with a known unit"},
    {"sought in another unit", "to: 100 mm", "to: 100 K", "100 K", "does not match the unit 'mm'"},
    {"sought as another quantity", "from: 10 mm\n  to: 100 mm", "from: 10 K\n  to: 100 K", "10 K",
     "is not a length"},
    {"range of no length", "to: 100 mm", "to: 10 mm", "10 mm\n  to_within", "equals 'from'"},
    {"found to within nothing", "to_within: 0.1 mm", "to_within: 0 mm", "0 mm\n  limit",
     "must be more than 0"},
    {"found to within another unit", "to_within: 0.1 mm", "to_within: 0.1 K", "0.1 K",
     "is no difference in the unit 'mm'"},
    {"found to within the range", "to_within: 0.1 mm", "to_within: 20 mm", "20 mm\n  limit",
     "is more than a tenth of the range"},
    {"limit not named", "  limit: drinks cold\n", "", "of: box.wall.2.thickness",
     "'limit' is missing; the base case has drinks cold, not frozen"},
    {"limit not there", "limit: drinks cold", "limit: drinks cool", "drinks cool",
     "did you mean 'drinks cold'?"},
    {"sought and varied", "of: box.wall.2.material, name: foam, values: [eps, xps]",
     "of: box.wall.2.thickness, values: [20 mm, 30 mm]", "box.wall.2.thickness\n",
     "stands in this plan already"},
    {"sought and uncertain", "of: box.gasket_leak, within: 20 %",
     "of: box.wall.2.thickness, within: 2 mm", "box.wall.2.thickness, within",
     "stands in this plan already"},
    {"length of the run varied", "of: box.wall.2.material, name: foam, values: [eps, xps]",
     "of: run.duration, values: [1 d, 2 d]", "of: box.wall.2.thickness",
     "sets the length of the run itself; take 'run.duration' out of this plan"},
    {"path of what is sought", "of: box.wall.2.thickness", "of: box.wall.2.thicknes",
     "box.wall.2.thicknes", "did you mean 'thickness'?"},
    {"unknown key of find", "to_within: 0.1 mm", "to_witin: 0.1 mm", "to_witin",
     "did you mean 'to_within'?"},
    {"unknown key of compare", "freezer: -18 degC", "freezr: -18 degC", "freezr",
     "did you mean 'freezer'?"},
};

}  // namespace

TEST_CASE("the plan that gets broken is good itself", "[cases]") {
  const Scratch scratch;
  (void)scratch.write("base.yaml", base_text);
  const ReadPlan read =
      read_plan(scratch.write("plan.yaml", plan_text), materials, thawline::solver::heat_taken_up);
  CHECK(case_count(read.plan) == 3 * 5 * 3 * 200);
  CHECK(input_columns(read.plan).size() == 7);
  CHECK(read.base.title == "Base of all plans");
}

namespace {

void check_told(const Scratch& scratch, const Broken& broken, const std::string& text) {
  INFO("broken plan: " << broken.name);
  const std::string file = scratch.write("plan.yaml", text);
  const std::string message = message_of(file);
  CHECK_THAT(message, Catch::StartsWith(file + place_of(text, broken.place)));
  CHECK_THAT(message, Catch::Contains(broken.phrase));
  CHECK(message.size() < 400 + 2 * file.size());
  CHECK_THAT(message, !Catch::Contains("yaml-cpp") && !Catch::Contains(" nan"));
}

}  // namespace

TEST_CASE("broken plans are told with their place", "[cases]") {
  const Scratch scratch;
  (void)scratch.write("base.yaml", base_text);
  for (const auto& broken : broken_plans) {
    std::string text = edited(plan_text, broken.from, broken.to);
    if (std::string(broken.name) == "alias") text.replace(text.find("seed: 7"), 7, "seed: *a");
    check_told(scratch, broken, text);
  }
}

TEST_CASE("broken design questions are told with their place", "[cases]") {
  const Scratch scratch;
  (void)scratch.write("base.yaml", base_text);
  const ReadPlan good = read_plan(scratch.write("plan.yaml", design_text), materials,
                                  thawline::solver::heat_taken_up);
  CHECK(case_count(good.plan) == 2 * 2 * 8);
  for (const auto& broken : broken_designs) {
    check_told(scratch, broken, edited(design_text, broken.from, broken.to));
  }
}

TEST_CASE("a grid of 10^12 cases is refused with its count", "[cases]") {
  const Scratch scratch;
  (void)scratch.write("base.yaml", base_text);
  const std::string file = scratch.write("plan.yaml", R"(title: Too many
case: base.yaml
vary:
  - {of: run.duration, from: 1 h, to: 2 h, steps: 1000000}
  - {of: surroundings.air.mean, from: 10 degC, to: 20 degC, steps: 1000000}
)");
  CHECK(message_of(file) ==
        file +
            ":5:5: vary[2]: with this the plan asks for 1000000000000 cases; at most 10000000 "
            "are computed");
}

TEST_CASE("a broken base case is told in its own file", "[cases]") {
  const Scratch scratch;
  std::string text = base_text;
  text.replace(text.find("place: floor"), 12, "place: flor");
  const std::string base = scratch.write("base.yaml", text);
  const std::string message = message_of(scratch.write("plan.yaml", plan_text));
  CHECK_THAT(message, Catch::StartsWith(base + place_of(text, "flor")));
  CHECK_THAT(message, Catch::Contains("did you mean 'floor'?"));
}

TEST_CASE("a plan that varies nothing is refused", "[cases]") {
  const Scratch scratch;
  (void)scratch.write("base.yaml", base_text);
  const std::string file = scratch.write("plan.yaml", "title: Nothing\ncase: base.yaml\n");
  CHECK(message_of(file) ==
        file + ":1:1: needs at least one of 'vary', 'compare', 'tolerances' and 'find'");
}
