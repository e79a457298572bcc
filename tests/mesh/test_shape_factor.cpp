#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "mesh/box_faces.hpp"
#include "mesh/edge_conductance.hpp"
#include "mesh/shape_factor.hpp"
#include "support/one_column.hpp"

using namespace thawline;

TEST_CASE("edge of equal walls is 1 - 2 ln2/pi", "[mesh]") {
  CHECK(mesh::edge_excess(0.04, 0.04) ==
        Approx(1 - 2 * std::numbers::ln2 / std::numbers::pi).epsilon(1e-14));
}

TEST_CASE("edge of unequal walls does not care which comes first", "[mesh]") {
  for (const double ratio : {1.2, 2.0, 5.0}) {
    CHECK(mesh::edge_excess(0.03, 0.03 * ratio) ==
          Approx(mesh::edge_excess(0.03 * ratio, 0.03)).epsilon(1e-12));
  }
}

TEST_CASE("the area law gives the conductance asked for", "[mesh]") {
  const double slope = mesh::slope_for_excess(0.2, 0.1, {{0.05, 1}}, 0.7);
  const double plane = 1 / mesh::shape_between(0.2, 0.1, 0, 0.05);
  CHECK(1 / mesh::shape_between(0.2, 0.1 + slope, 0, 0.05) == Approx(plane + 0.7).epsilon(1e-12));
}

// Langmuir, Adams & Meikle (1913): S = A/t + edges + 0.15 t a corner; a box of one material.
TEST_CASE("box conductance is faces plus edges plus corners", "[mesh]") {
  cases::Box box;
  box.inside = cases::RectangularInside{0.4, 0.3, 0.25};
  const double t = 0.05;
  box.sides = box.lid = box.base = {cases::SolidLayer{test::plain_material(0.03, 30, 1400), t}};
  const double area = 2 * (0.4 * 0.3 + 0.4 * 0.25 + 0.3 * 0.25);
  const double edges = 4 * (0.4 + 0.3 + 0.25);
  const double excess = 1 - 2 * std::numbers::ln2 / std::numbers::pi;
  double total = 0;
  for (const auto& face : mesh::box_faces(box)) {
    total += face.plane_conductance + face.edge_conductance + face.corner_conductance;
  }
  CHECK(total == Approx(0.03 * (area / t + excess * edges + 8 * 0.15 * t)).epsilon(1e-10));
}

TEST_CASE("the side of a round jug is a cylinder shell", "[mesh]") {
  cases::Box box;
  box.inside = cases::RoundInside{0.2, 0.3};
  box.sides = box.lid = box.base = {cases::SolidLayer{test::plain_material(0.03, 30, 1400), 0.05}};
  const auto faces = mesh::box_faces(box);
  CHECK(faces[1].plane_conductance ==
        Approx(2 * std::numbers::pi * 0.03 * 0.3 / std::log(0.15 / 0.10)).epsilon(1e-12));
}

TEST_CASE("the area law of layers gives the conductance asked for", "[mesh]") {
  const std::vector<mesh::ConductingLayer> layers{{0.004, 0.5}, {0.05, 0.03}, {0.006, 0.12}};
  const double slope = mesh::slope_for_excess(0.2, 0.1, layers, 0.02);
  CHECK(1 / mesh::resistance_between(0.2, 0.1 + slope, layers) ==
        Approx(1 / mesh::resistance_between(0.2, 0.1, layers) + 0.02).epsilon(1e-12));
}

namespace {

cases::Wall wall_of(const std::vector<mesh::ConductingLayer>& layers) {
  cases::Wall wall;
  for (const auto& layer : layers) {
    wall.push_back(
        cases::SolidLayer{test::plain_material(layer.conductivity, 30, 1400), layer.thickness});
  }
  return wall;
}

}  // namespace

// Finite volumes against what is exact: one material cut into layers (by a hair, lest the closed
// form be taken); and a skin that conducts so well that the foam begins behind it, which adds twice
// its thickness of plane wall to the edge of the foam.
TEST_CASE("the edge of layered walls is that of what they amount to", "[mesh]") {
  const double exact = 1 - 2 * std::numbers::ln2 / std::numbers::pi;
  const auto cut = wall_of({{0.01, 0.03}, {0.02, 0.0300001}, {0.02, 0.03}});
  CHECK(mesh::edge_conductance(cut, cut, 1, 1) == Approx(0.03 * exact).epsilon(0.01));
  for (const double skin : {0.001, 0.004, 0.01}) {
    const auto wall = wall_of({{skin, 500}, {0.05, 0.03}});
    CHECK(mesh::edge_conductance(wall, wall, 1, 1) ==
          Approx(0.03 * (exact + 2 * skin / 0.05)).epsilon(0.01));
    const auto outside = wall_of({{0.05, 0.03}, {skin, 500}});
    CHECK(mesh::edge_conductance(outside, outside, 1, 1) == Approx(0.03 * exact).epsilon(0.01));
  }
  // Thin and thick walls of one material, cut.
  const auto thin = wall_of({{0.01, 0.03}, {0.02, 0.0300001}});
  const auto thick = wall_of({{0.02, 0.03}, {0.04, 0.0300001}});
  CHECK(mesh::edge_conductance(thin, thick, 1, 1) ==
        Approx(0.03 * mesh::edge_excess(0.03, 0.06)).epsilon(0.01));
  CHECK(mesh::edge_conductance(thin, thick, 1, 1) ==
        Approx(mesh::edge_conductance(thick, thin, 1, 1)).epsilon(1e-9));
}

TEST_CASE("a corner begins behind skins that conduct", "[mesh]") {
  CHECK(mesh::corner_conductance({{0.05, 0.03}}, 0.03 * mesh::edge_excess(1, 1)) ==
        Approx(0.15 * 0.05 * 0.03));
  // The foam box is larger by the skin all round: three edges longer by it, three squares of face.
  const double skin = 0.004;
  const double edge = 0.03 * mesh::edge_excess(1, 1);
  CHECK(mesh::corner_conductance({{skin, 1e6}, {0.05, 0.03}}, edge + 2 * skin * 0.03 / 0.05) ==
        Approx(0.15 * 0.05 * 0.03 + 3 * skin * edge + 3 * skin * skin * 0.03 / 0.05).epsilon(1e-6));
}
