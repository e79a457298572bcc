#include <catch2/catch.hpp>
#include <string>

#include "cases/choose_detail.hpp"
#include "cases/read_case.hpp"

using namespace thawline;
using cases::Detail;

namespace {

cases::Case box(const std::string& coolant, const std::string& run = "{duration: 1 h}") {
  const std::string root = THAWLINE_SOURCE_DIR;
  static const auto shelf = cases::read_material_folder(root + "/cases/materials");
  return cases::read_case_text(
      "case.yaml",
      "title: box\nbox: {inside: {length: 40 cm, width: 30 cm, height: 20 cm}, wall: [{material: "
      "xps, thickness: 30 mm}]}\n" +
          coolant + "surroundings: {air: 25 degC}\nrun: " + run + "\n",
      shelf);
}

std::string pack(const std::string& name, const std::string& place, const std::string& kilograms) {
  return "  - {name: " + name +
         ", material: gel_pack, form: pack, thickness: 20 mm, place: " + place +
         ", amount: " + kilograms + " kg, start: -10 degC}\n";
}

}  // namespace

TEST_CASE("a case that names no detail has a section where a pack lies on a wall", "[cases]") {
  for (const char* place : {"floor", "lid", "sides"}) {
    const auto c = box("coolant:\n" + pack("gel", place, "1"));
    CHECK(c.run.detail == Detail::two_d);
    CHECK(c.run.accuracy == cases::accuracy_of_chosen_section);
    CHECK(c.run.why_detail == "'gel' lies on a wall");
    CHECK(c.notices.empty());
  }
  for (const char* place : {"free", "around_payload"}) {
    const auto c = box("coolant:\n" + pack("gel", place, "1"));
    CHECK(c.run.detail == Detail::one_d);
    CHECK(c.run.accuracy == 0.05);
  }
  CHECK(box("").run.detail == Detail::one_d);
  const auto ice = box(
      "coolant: [{name: ice, material: water_ice, form: loose, amount: 2 kg, start: 0 degC}]\n");
  CHECK(ice.run.detail == Detail::two_d);
  CHECK(ice.run.why_detail == "'ice' is loose and touches the walls");
}

TEST_CASE("a liner that carries heat along the walls wants a section", "[cases]") {
  auto c = box("");
  auto liner = std::get<cases::SolidLayer>(c.box.sides.front());
  liner.thickness = 0.001;
  liner.material.name = "metal";
  liner.material.conductivity_solid.rows = {{283, 200}};
  c.box.sides.insert(c.box.sides.begin(), liner);
  CHECK(cases::reach_along_sides(c.box) == Approx(0.2));
  CHECK(cases::choose_detail(c).detail == Detail::two_d);
  CHECK(cases::choose_detail(c).why == "the liner (metal) carries heat along the walls");
}

TEST_CASE("what a case names is kept", "[cases]") {
  const std::string gel = "coolant:\n" + pack("gel", "floor", "1");
  const auto named = box(gel, "{duration: 1 h, detail: 1d}");
  CHECK(named.run.detail == Detail::one_d);
  CHECK(named.run.why_detail.empty());
  CHECK(named.notices.empty());
  CHECK(box(gel, "{duration: 1 h, detail: 2d}").run.accuracy == 0.05);
  const auto accurate = box(gel, "{duration: 1 h, accuracy: 0.02 K}");
  CHECK(accurate.run.detail == Detail::two_d);
  CHECK(accurate.run.accuracy == 0.02);
  CHECK(box("", "{duration: 1 h, section: {air_conductivity: 0.1 W/m/K}}").run.detail ==
        Detail::two_d);
}

TEST_CASE("packs that have no place in a section leave columns, with a note", "[cases]") {
  // A band at the sides that reaches up to the pack under the lid.
  const auto c = box("coolant:\n" + pack("cover", "lid", "2") + pack("lining", "sides", "4.7"));
  CHECK(c.run.detail == Detail::one_d);
  CHECK_THAT(c.run.why_detail, Catch::Contains("'lining' runs into 'cover' in a section"));
  REQUIRE(c.notices.size() == 1);
  CHECK_THAT(c.notices.front(), Catch::Contains("a quarter off"));
}

TEST_CASE("cases that are compared have one detail", "[cases]") {
  const cases::DetailChoice columns{Detail::one_d, true, "no coolant touches a wall"};
  const cases::DetailChoice section{Detail::two_d, true, "'gel' lies on a wall"};
  const cases::DetailChoice crowded{Detail::one_d, false, "'gel' runs into 'ice'"};
  CHECK(cases::common_detail({}).detail == Detail::one_d);
  CHECK(cases::common_detail({columns, columns}).detail == Detail::one_d);
  CHECK(cases::common_detail({columns, section}).detail == Detail::two_d);
  const auto common = cases::common_detail({section, crowded, section});
  CHECK(common.detail == Detail::one_d);
  CHECK_THAT(common.why, Catch::Contains("runs into"));
}
