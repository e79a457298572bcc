#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "mesh/box_faces.hpp"
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
  const double slope = mesh::slope_for_excess(0.2, 0.1, 0.05, 0.7);
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
