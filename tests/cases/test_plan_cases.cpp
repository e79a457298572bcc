#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "cases/latin_hypercube.hpp"
#include "cases/plan.hpp"
#include "cases/read_plan.hpp"
#include "solver/heat/taken_up.hpp"

namespace {

using namespace thawline::cases;

const std::string source = THAWLINE_SOURCE_DIR;

BaseCase market_stall(const std::vector<std::string>& taken = {}) {
  return {read_text_file(source + "/cases/examples/market-stall.yaml", most_case_bytes), taken};
}

const Library& library() {
  static const Library read{read_material_folder(source + "/cases/materials"), {}};
  return read;
}

Case with(const std::string& path, const WrittenValue& value) {
  const BaseCase base = market_stall({material_as_written(source + "/cases/materials", "eps")});
  return base.read_with({{follow_path(base.tree(), path).path, value}}, library());
}

}  // namespace

TEST_CASE("settings reach every kind of place", "[cases]") {
  CHECK(thickness_of(with("box.wall.2.thickness", {"55 mm"}).box.sides) == Approx(0.059));
  CHECK(thickness_of(with("box.wall[2].thickness", {"55 mm"}).box.lid) == Approx(0.059));
  CHECK(with("coolant.gel over.start", {"-5 degC"}).coolants[1].start == Approx(268.15));
  CHECK(with("coolant[gel under].amount", {"3 kg"}).coolants[0].mass == Approx(3));
  CHECK(with("box.gasket_air_changes", {"3.6 1/h"}).box.gasket_air_changes == Approx(1e-3));
  CHECK(with("run.accuracy", {"0.01 K"}).run.accuracy == Approx(0.01));
  const Case steady = with("surroundings.air", {"30 degC"});
  CHECK(std::get<ConstantAir>(steady.surroundings.air).temperature == Approx(303.15));
  const Case wave =
      with("surroundings.air", {"{mean: 20 degC, swing: 3 K, warmest_at: 6 h}", true});
  CHECK(std::get<DailyWave>(wave.surroundings.air).mean == Approx(293.15));
  const Case own = with("materials.eps.conductivity.value", {"0.05 W/m/K"});
  const auto& foam = std::get<SolidLayer>(own.box.sides[1]).material;
  CHECK(foam.conductivity_solid.at(283.15) == Approx(0.05));
}

TEST_CASE("a lone map counts as a list of one", "[cases]") {
  const auto by_number = follow_path(market_stall().tree(), "limits.1.not_above");
  CHECK(by_number.path.text() == "limits[1].not_above");
  const YAML::Node tree = YAML::Load("payload: {name: fish, start: 2 degC}");
  for (const char* words : {"payload.start", "payload.1.start", "payload.fish.start"}) {
    CHECK(follow_path(tree, words).path.text() == "payload.start");
  }
}

TEST_CASE("a base case stays as it is", "[cases]") {
  const BaseCase base = market_stall();
  const auto path = follow_path(base.tree(), "box.wall").path;
  const Setting setting{path, {"[{material: xps, thickness: 1 cm}]", true}};
  CHECK(thickness_of(base.read_with({setting}, library()).box.sides) == Approx(0.01));
  CHECK(thickness_of(base.read_with({}, library()).box.sides) == Approx(0.044));
}

TEST_CASE("a varied case can be written out and read again", "[cases]") {
  const BaseCase base = market_stall();
  const auto path = follow_path(base.tree(), "coolant.1.start").path;
  const Case c = base.read_with({{path, {"-7.25 degC"}}}, library(), true);
  const Case again = read_case_text("again.yaml", c.text, library().materials);
  CHECK(again.coolants[0].start == c.coolants[0].start);
  CHECK(again.happenings.size() == c.happenings.size());
}

TEST_CASE("a material written out reads as the same", "[cases]") {
  for (const auto& [name, material] : library().materials) {
    INFO("material: " << name);
    const SourceText text{"again", material_as_written(source + "/cases/materials", name)};
    MaterialShelf shelf;
    read_materials(parse_yaml(text), shelf);
    const Material& again = shelf.at(name);
    CHECK(again.density == material.density);
    CHECK(again.conductivity_solid.at(260) == material.conductivity_solid.at(260));
    CHECK(again.heat_capacity_liquid.at(290) == material.heat_capacity_liquid.at(290));
    CHECK(solidus_of(again) == solidus_of(material));
  }
}

TEST_CASE("a Latin hypercube has one point in every slice", "[cases]") {
  const auto samples = GENERATE(1U, 2U, 7U, 64U, 1000U);
  for (std::uint64_t dimension = 0; dimension < 4; ++dimension) {
    std::vector<int> in_slice(samples, 0);
    for (std::uint64_t i = 0; i < samples; ++i) {
      const double u = latin_hypercube(3, dimension, samples, i);
      REQUIRE(u > 0);
      REQUIRE(u < 1);
      ++in_slice[static_cast<std::size_t>(u * samples)];
    }
    CHECK(std::all_of(in_slice.begin(), in_slice.end(), [](int n) { return n == 1; }));
  }
}

TEST_CASE("dimensions and seeds of a Latin hypercube go their own ways", "[cases]") {
  constexpr std::uint64_t samples = 4000;
  const auto correlation = [](std::uint64_t seed, std::uint64_t a, std::uint64_t b) {
    double sum = 0;
    for (std::uint64_t i = 0; i < samples; ++i) {
      sum +=
          (latin_hypercube(3, a, samples, i) - 0.5) * (latin_hypercube(seed, b, samples, i) - 0.5);
    }
    return 12 * sum / samples;
  };
  CHECK(correlation(3, 0, 0) == Approx(1).margin(1e-3));
  // Five standard deviations of a correlation by chance.
  const double bar = 5 / std::sqrt(static_cast<double>(samples));
  for (std::uint64_t b = 1; b < 10; ++b) CHECK(std::abs(correlation(3, 0, b)) < bar);
  CHECK(std::abs(correlation(4, 0, 0)) < bar);
}

TEST_CASE("cases of a plan run through all combinations and samples", "[cases]") {
  const auto plan = read_plan(source + "/cases/examples/plans/three-foams.yaml",
                              source + "/cases/materials", thawline::solver::heat_taken_up)
                        .plan;
  REQUIRE(case_count(plan) == 30);
  const auto first = case_inputs(plan, 1);
  CHECK(first[1].text == "eps");
  CHECK(first[2].number == 10);
  const auto last = case_inputs(plan, 30);
  CHECK(last[1].text == "pu_foam");
  CHECK(last[2].setting.value().value.text == "100 mm");
  CHECK(case_inputs(plan, 12)[2].number == 20);
}

TEST_CASE("tolerances have the mean and spread asked for", "[cases]") {
  const auto plan = read_plan(source + "/cases/examples/plans/market-stall-tolerances.yaml",
                              source + "/cases/materials", thawline::solver::heat_taken_up)
                        .plan;
  const auto columns = input_columns(plan);
  const std::size_t thickness = 0;
  const std::size_t air = 3;
  REQUIRE(columns[air].name == "surroundings.air.mean");
  double sum = 0;
  double squares = 0;
  double least = 1e9;
  double most = 0;
  for (std::uint64_t i = 1; i <= 100; ++i) {
    const auto inputs = case_inputs(plan, i);
    sum += inputs[air].number - 24;
    squares += std::pow(inputs[air].number - 24, 2);
    least = std::min(least, inputs[thickness].number);
    most = std::max(most, inputs[thickness].number);
  }
  // 100 slices of a normal law leave the mean within 0.03 and the deviation within 5 %.
  CHECK(sum / 100 == Approx(0).margin(0.06));
  CHECK(std::sqrt(squares / 100) == Approx(2).epsilon(0.05));
  CHECK(least >= 38);
  CHECK(least < 38.04);
  CHECK(most <= 42);
  CHECK(most > 41.96);
}

TEST_CASE("a tolerance on a table multiplies all of it", "[cases]") {
  const std::string materials = source + "/cases/materials";
  const YAML::Node ice = YAML::Load(material_as_written(materials, "water_ice"))["water_ice"];
  const auto rows = written_table(ice["conductivity"]["solid"]);
  REQUIRE(rows.has_value());
  REQUIRE(rows->size() == 4);
  CHECK(scaled(*rows, 0.5).text.starts_with("[[-40 degC, 1.336 W/m/K], [-20 degC, 1.215 W/m/K]"));
  CHECK(!written_table(ice["melting"]["point"]).has_value());
  const BaseCase base(
      read_text_file(source + "/cases/examples/slabs-and-drinks.yaml", most_case_bytes),
      {material_as_written(materials, "water_ice")});
  const auto path = follow_path(base.tree(), "materials.water_ice.conductivity.solid.table").path;
  const auto conductivity = [&base, &path](const std::vector<Setting>& settings, double at) {
    return base.read_with(settings, library()).coolants[0].material.conductivity_solid.at(at);
  };
  for (const double kelvin : {240.0, 258.15, 270.0}) {
    CHECK(conductivity({{path, scaled(*rows, 1.1)}}, kelvin) ==
          Approx(1.1 * conductivity({}, kelvin)));
  }
  const YAML::Node brine = YAML::Load(material_as_written(materials, "nacl_brine_10"));
  CHECK(!written_table(brine["nacl_brine_10"]["melting"]["liquidus"]).has_value());
}
