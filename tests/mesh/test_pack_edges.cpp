#include <catch2/catch.hpp>

#include "mesh/pack_edges.hpp"

using namespace thawline;

namespace {

constexpr double pi = 3.14159265358979323846;

cases::Coolant pack(const std::string& name, cases::Place place, double face, double thickness) {
  cases::Coolant made;
  made.name = name;
  made.material.density = made.material.density_liquid = 1000;
  made.mass = 1000 * face * thickness;
  made.thickness = thickness;
  made.place = place;
  return made;
}

cases::Case box_with(std::vector<cases::Coolant> coolants) {
  cases::Case c;
  c.box.inside = cases::RectangularInside{0.4, 0.3, 0.25};
  c.coolants = std::move(coolants);
  return c;
}

}  // namespace

// Packs on the floor and under the lid have the same gap all round: a face of (0.4 - 2 g) (0.3 - 2
// g) has the rim 2 (0.7 - 4 g).
TEST_CASE("a pack on the floor shows its rim", "[mesh]") {
  const auto c = box_with({pack("gel", cases::Place::floor, 0.3 * 0.2, 0.03)});
  CHECK(mesh::free_edge(c, c.coolants[0]).area == Approx(2 * (0.3 + 0.2) * 0.03));
}

TEST_CASE("a pack that reaches the walls shows no rim, and nearly none shortly before", "[mesh]") {
  for (const double gap : {0.0, 0.001, 0.02, 0.03}) {
    const auto c =
        box_with({pack("gel", cases::Place::lid, (0.3 - 2 * gap) * (0.4 - 2 * gap), 0.02)});
    INFO("gap " << gap);
    CHECK(mesh::free_edge(c, c.coolants[0]).area ==
          Approx(2 * (0.7 - 4 * gap) * std::min(gap, 0.02)).margin(1e-12));
    CHECK(mesh::free_edge(c, c.coolants[0]).length == Approx(std::min(gap, 0.02)).margin(1e-12));
  }
}

TEST_CASE("of two packs side by side the higher one shows a step", "[mesh]") {
  // The first is 0.2 by 0.1, both together 0.3 by 0.2.
  const auto c = box_with({pack("low", cases::Place::floor, 0.2 * 0.1, 0.02),
                           pack("high", cases::Place::floor, 0.3 * 0.2 - 0.2 * 0.1, 0.05),
                           pack("elsewhere", cases::Place::lid, 0.3 * 0.1, 0.04)});
  CHECK(mesh::free_edge(c, c.coolants[0]).area == 0);
  CHECK(mesh::free_edge(c, c.coolants[1]).area ==
        Approx(2 * (0.2 + 0.1) * 0.03 + 2 * (0.3 + 0.2) * 0.05));
}

TEST_CASE("a pack on the floor of a round box shows its rim", "[mesh]") {
  auto c = box_with({pack("disc", cases::Place::floor, pi * 0.1 * 0.1, 0.03)});
  c.box.inside = cases::RoundInside{0.3, 0.25};
  CHECK(mesh::free_edge(c, c.coolants[0]).area == Approx(2 * pi * 0.1 * 0.03));
}

TEST_CASE("packs at the sides show the top of their band, free packs all round", "[mesh]") {
  const auto c = box_with({pack("band", cases::Place::sides, 1.4 * 0.2, 0.02),
                           pack("square", cases::Place::free, 0.04, 0.02),
                           pack("sheet", cases::Place::around_payload, 0.04, 0.02)});
  CHECK(mesh::free_edge(c, c.coolants[0]).area == Approx(1.4 * 0.02));
  CHECK(mesh::free_edge(c, c.coolants[1]).area == Approx(4 * 0.2 * 0.02));
  CHECK(mesh::free_edge(c, c.coolants[2]).area == 0);
  CHECK(mesh::edge_length(c.coolants[1], mesh::Facing::sideways) == Approx(0.02));
  CHECK(mesh::edge_length(c.coolants[0], mesh::Facing::up) == Approx(0.01));
}
