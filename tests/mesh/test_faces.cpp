#include <catch2/catch.hpp>

#include "mesh/network_builder.hpp"
#include "support/plane_section.hpp"

using namespace thawline;

namespace {

cases::Wall wall_with_gap() {
  const auto skin = test::plain_material(0.5, 1000, 1000);
  return {cases::SolidLayer{skin, 0.004}, cases::GapLayer{0.01, 0.8},
          cases::SolidLayer{skin, 0.002}};
}

}  // namespace

TEST_CASE("a column's faces run outward, those of its ends last", "[mesh]") {
  const auto network = test::slab({{test::plain_material(1, 1000, 1000), 0.03, 3}}, 300, 5, 8);
  REQUIRE(network.faces.size() == 4);
  for (int i = 0; i < 2; ++i) {
    const auto& face = network.faces[static_cast<std::size_t>(i)];
    CHECK(face.low == i);
    CHECK(face.high == i + 1);
    CHECK(face.hub == -1);
    CHECK(face.gap == -1);
    CHECK(face.low_shape == Approx(0.005));
    CHECK(face.high_shape == Approx(0.005));
  }
  const auto& inner = network.faces[2];
  CHECK(inner.low == -1);
  CHECK(inner.high == 0);
  CHECK(inner.hub == 0);
  CHECK(inner.low_shape == 0);
  CHECK(inner.high_shape == Approx(0.005));
  const auto& outer = network.faces[3];
  CHECK(outer.low == 2);
  CHECK(outer.high == -1);
  CHECK(outer.hub == 1);
  CHECK(outer.low_shape == Approx(0.005));
}

TEST_CASE("the gap of a wall lies on one face, in an area between its layers", "[mesh]") {
  mesh::Network network;
  mesh::NetworkBuilder builder(network, {});
  const int inner = builder.add_surface("inner", -1);
  const int outer = builder.add_surface("outer", -1);
  for (int i = 0; i < 2; ++i) {
    builder.begin_column("wall", inner, outer, -1);
    builder.add_wall_layers(wall_with_gap(), 2, 10, 1.25, "wall: ", 280, 300);
    builder.end_column();
  }
  builder.finish();
  REQUIRE(network.gaps.size() == 2);
  int with_gap = 0;
  for (const auto& face : network.faces) {
    if (face.gap < 0) continue;
    CHECK(face.gap == with_gap++);
    CHECK(network.cells[static_cast<std::size_t>(face.low)].depth < 0.004);
    CHECK(network.cells[static_cast<std::size_t>(face.high)].depth > 0.014);
    const auto& gap = network.gaps[static_cast<std::size_t>(face.gap)];
    CHECK(gap.thickness == 0.01);
    CHECK(gap.area == Approx(2 + 10 * 0.009));
    CHECK(gap.convection == 1.25);
    CHECK(gap.emissivity == 0.8);
  }
  CHECK(with_gap == 2);
}

TEST_CASE("a section one cell across has the faces of a column", "[mesh][section]") {
  const auto material = test::plain_material(1, 1000, 1000);
  const auto column = test::slab({{material, 0.03, 3}}, 300, 5, 8);
  const auto section = test::one_across(material, 0.03, 3, 300, 5, 8).build();
  REQUIRE(section.faces.size() == column.faces.size());
  REQUIRE(mesh::grid_faces(section).size() == section.faces.size());
  CHECK(mesh::grid_faces(column).size() == column.faces.size());
  for (const auto& face : section.faces) {
    CHECK(face.axis == 1);
    const auto same =
        std::find_if(column.faces.begin(), column.faces.end(),
                     [&](const mesh::Face& f) { return f.low == face.low && f.high == face.high; });
    REQUIRE(same != column.faces.end());
    CHECK(face.low_shape == Approx(same->low_shape));
    CHECK(face.high_shape == Approx(same->high_shape));
  }
}
