#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "cases/read_case.hpp"
#include "mesh/loose_bed.hpp"
#include "mesh/standing.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

namespace {

cases::Case crate(const std::string& fish) {
  const std::string root = THAWLINE_SOURCE_DIR;
  static const auto shelf = cases::read_material_folder(root + "/cases/materials");
  return cases::read_case_text(
      "case.yaml",
      "title: crate\nbox: {inside: {length: 50 cm, width: 35 cm, height: 25 cm}, wall: [{material: "
      "eps, thickness: 25 mm}]}\ncoolant: [{name: ice, material: water_ice, amount: 4 kg, form: "
      "loose, place: floor, start: 0 degC}]\npayload: [{name: fish, contents: fish_fillet, start: "
      "8 degC, "
      "block: {amount: 5 kg, thickness: 50 mm}" +
          fish + "}]\nsurroundings: {air: 20 degC}\nrun: {duration: 3 h}\n",
      shelf);
}

/// W/K that the contents touch the bed with, as far as it is wet.
double touch(const cases::Case& c) {
  const auto network = mesh::build_network(c);
  double sum = 0;
  for (const auto& link : network.links) {
    if (link.law == mesh::Law::conductance && link.needs == 1 && link.needs_too == 0) {
      sum += link.conductance;
    }
  }
  return sum;
}

/// m2 of the contents that the air touches while the ice is there, whole.
double in_air(const cases::Case& c) {
  const auto network = mesh::build_network(c);
  double sum = 0;
  for (const auto& link : network.links) {
    if (link.law != mesh::Law::convection || link.needs != 1 || link.unless == 0) continue;
    const double share =
        link.cover < 0 ? 1 : network.covers[static_cast<std::size_t>(link.cover)].share.front();
    sum += share * link.area;
  }
  return sum;
}

}  // namespace

TEST_CASE("contents on a bed of ice rest on it as their case says", "[mesh]") {
  const auto usual = crate("");
  const double face = volume_of(usual.payloads[0]) / 0.05;
  CHECK(mesh::area_on_bed(usual, 0) == Approx(face));
  CHECK(touch(usual) == Approx(29 * face));
  CHECK(in_air(usual) == Approx(surface_of(usual.payloads[0]) - face).epsilon(1e-3));
  const auto named = crate(", contact: {coefficient: 80 W/m2/K, area: 0.02 m2}");
  CHECK(touch(named) == Approx(80 * 0.02));
  const auto held = crate(", stands_on: free");
  CHECK(touch(held) == 0);
  CHECK(in_air(held) == Approx(surface_of(held.payloads[0])));
  // What rests on the bed takes its top from the air.
  const auto bed = mesh::loose_bed(usual, usual.coolants[0]);
  CHECK(mesh::free_floor(bed, 0) == Approx(1 - face / (0.5 * 0.35)));
  CHECK(mesh::free_floor(mesh::loose_bed(held, held.coolants[0]), 0) == 1);
}

TEST_CASE("contact with a bed cools what rests on it", "[mesh]") {
  const auto end = [](const std::string& fish) {
    return solver::run_case(crate(fish)).items[0].liquid_fraction;
  };
  const double held = end(", stands_on: free");
  const double usual = end("");
  CHECK(usual > held);
  CHECK(end(", contact: {coefficient: 120 W/m2/K}") > usual);
}
