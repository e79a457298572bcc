#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <string>

#include "cases/read_case.hpp"
#include "mesh/standing.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

namespace {

/// Four cans over a pack of 10 mm on 600 cm2 of floor.
cases::Case box(const std::string& stands, const std::string& amount = "500 g",
                const std::string& detail = "1d") {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  return cases::read_case_text(
      "case.yaml",
      "title: box\n"
      "box:\n"
      "  inside: {length: 30 cm, width: 20 cm, height: 25 cm}\n"
      "  wall: [{material: eps, thickness: 25 mm}]\n"
      "coolant: [{name: gel, material: gel_pack, form: pack, thickness: 10 mm, place: floor,\n"
      "  start: -10 degC, amount: " +
          amount +
          "}]\n"
          "payload: [{name: drinks, contents: cola, start: 12 degC" +
          stands +
          ",\n"
          "  cans: {count: 4, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}]\n"
          "surroundings: {air: 25 degC}\n"
          "limits: [{name: warm, probe: drinks, not_above: 11 degC}]\n"
          "run: {duration: 30 h, detail: " +
          detail + "}\n",
      shelf);
}

const double four_bottoms = 4 * std::numbers::pi / 4 * 0.066 * 0.066;

}  // namespace

TEST_CASE("contents stand on the packs on the floor and, beside them, on the base", "[mesh]") {
  // Nearly as wide as the floor.
  auto c = box("", "0.5 L");
  auto standings = mesh::standings_of(c);
  REQUIRE(standings.size() == 1);
  CHECK(standings[0].pack == 0);
  CHECK(standings[0].area == Approx(four_bottoms));
  CHECK(standings[0].coefficient == 29);
  // A pack of 100 cm2 takes less than the four bottoms of 137 cm2.
  c = box("", "0.1 L");
  standings = mesh::standings_of(c);
  REQUIRE(standings.size() == 2);
  CHECK(standings[0].area == Approx(0.01));
  CHECK(standings[1].pack == -1);
  CHECK(standings[0].area + standings[1].area == Approx(four_bottoms));
}

TEST_CASE("a case names what contents stand on", "[mesh]") {
  CHECK(mesh::standings_of(box(", stands_on: free")).empty());
  const auto on_base = mesh::standings_of(box(", stands_on: base", "0.1 L"));
  REQUIRE(on_base.size() == 1);
  CHECK(on_base[0].pack == -1);
  const auto on_gel =
      mesh::standings_of(box(", stands_on: gel, contact: {coefficient: 50 W/m2/K, area: 20 cm2}"));
  REQUIRE(on_gel.size() == 1);
  CHECK(on_gel[0].area == Approx(2e-3));
  CHECK(on_gel[0].coefficient == 50);
}

TEST_CASE("where contents stand the other links of the place are gone while they are there",
          "[mesh]") {
  for (const char* detail : {"1d", "2d"}) {
    INFO(detail);
    const auto touching = mesh::build_network(box("", "0.5 L", detail));
    const auto apart = mesh::build_network(box(", stands_on: free", "0.5 L", detail));
    double contact = 0;
    double open_when_gone = 0;
    for (const auto& link : touching.links) {
      if (link.law == mesh::Law::conductance && link.needs == 1 && link.needs_too == 0) {
        contact += link.conductance;
      }
      if (link.law == mesh::Law::convection && link.unless == 1) open_when_gone += link.area;
    }
    CHECK(contact == Approx(29 * four_bottoms));
    CHECK(open_when_gone == Approx(four_bottoms));
    const auto shown = [](const mesh::Network& network) {
      double area = 0;
      for (const auto& link : network.links) {
        if (link.law == mesh::Law::convection) area += link.area;
      }
      return area;
    };
    // The bottoms no longer show; the pack's upper face shows as much as before in all.
    CHECK(shown(touching) == Approx(shown(apart) - four_bottoms));
  }
}

// A contact brings the drinks down and takes its heat from the pack, in columns and in a section.
TEST_CASE("drinks on a pack get colder and spend it sooner than drinks held free", "[solver]") {
  for (const char* detail : {"1d", "2d"}) {
    INFO(detail);
    const auto touching = solver::run_case(box("", "0.5 L", detail));
    const auto apart = solver::run_case(box(", stands_on: free", "0.5 L", detail));
    CHECK(touching.summary.closure <= 1e-9);
    CHECK(touching.items[0].spent_at < 0.97 * apart.items[0].spent_at);
    const double chilled = touching.limits[0].chill_time;
    const double chilled_apart = apart.limits[0].chill_time;  // below 0: never
    CHECK(chilled > 0);
    CHECK((chilled_apart < 0 || chilled < 0.9 * chilled_apart));
  }
}
