#include <catch2/catch.hpp>
#include <string>

#include "cases/input_error.hpp"
#include "cases/read_case.hpp"
#include "mesh/standing.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

namespace {

cases::Case fish_box(const std::string& fish, const std::string& detail,
                     const std::string& coolant = "") {
  const std::string root = THAWLINE_SOURCE_DIR;
  static const auto shelf = cases::read_material_folder(root + "/cases/materials");
  return cases::read_case_text(
      "case.yaml",
      "title: fish box\nbox: {inside: {length: 36 cm, width: 22 cm, height: 9 cm}, wall: "
      "[{material: eps, thickness: 22 mm}]}\n" +
          coolant + "payload: [{name: fish, contents: fish_fillet, start: 2 degC, " + fish +
          "}]\nsurroundings: {air: 20 degC}\nrun: {duration: 6 h, detail: " + detail + "}\n",
      shelf);
}

const std::string block = "block: {amount: 3 kg, thickness: 36 mm}";

/// W/K between the contents and the side walls.
double contact_with_walls(const cases::Case& c) {
  const auto network = mesh::build_network(c);
  double sum = 0;
  for (const auto& link : network.links) {
    if (link.law == mesh::Law::conductance && link.needs == 0 && link.b >= 0) {
      sum += link.conductance;
    }
  }
  for (const auto& standing : mesh::standings_of(c)) {
    if (standing.pack == -1) sum -= standing.area * standing.coefficient;
  }
  return sum;
}

}  // namespace

TEST_CASE("a block that leans on the walls touches them up to its height", "[mesh][section]") {
  for (const char* detail : {"1d", "2d"}) {
    INFO(detail);
    const auto free = fish_box(block, detail);
    CHECK(contact_with_walls(free) == Approx(0).margin(1e-9));
    const auto leaning = fish_box(block + ", leans_on: walls", detail);
    const double height = mesh::footprints_of(leaning)[0].height;
    CHECK(contact_with_walls(leaning) == Approx(29 * 2 * (0.36 + 0.22) * height));
    const auto warmth = [](const cases::Case& c) {
      const auto result = solver::run_case(c);
      double heat = 0;
      for (const double path : result.heat_by_path) heat += path;
      return heat;
    };
    // Walls that fish keeps cold take up more heat.
    CHECK(warmth(leaning) > 1.05 * warmth(free));
  }
}

TEST_CASE("what leans on nothing, or cannot, is told", "[cases]") {
  CHECK_FALSE(fish_box(block + ", leans_on: nothing", "1d").payloads[0].stands.leans);
  const auto message = [](const std::string& fish, const std::string& coolant = "") {
    try {
      (void)fish_box(fish, "1d", coolant);
    } catch (const cases::InputError& error) {
      return error.sentence();
    }
    return std::string("read");
  };
  CHECK_THAT(message(block + ", leans_on: lid"), Catch::Contains("walls"));
  CHECK_THAT(message(block + ", stands_on: free, leans_on: walls"),
             Catch::Contains("touches nothing"));
  CHECK_THAT(message("leans_on: walls, cans: {count: 1, volume: 0.2 L, diameter: 60 mm, height: 80 "
                     "mm}"),
             Catch::Contains("only a block leans on walls"));
  CHECK_THAT(message(block + ", leans_on: walls",
                     "coolant: [{name: ice, material: water_ice, amount: 1 kg, form: loose, start: "
                     "0 degC}]\n"),
             Catch::Contains("does not go with loose coolant"));
}
