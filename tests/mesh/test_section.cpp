#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "cases/input_error.hpp"
#include "mesh/box_faces.hpp"
#include "mesh/section/layout.hpp"
#include "mesh/section/spacing.hpp"
#include "support/example_section.hpp"
#include "support/one_column.hpp"

using namespace thawline;

namespace {

double volume_of_item(const mesh::Network& network, int item) {
  double sum = 0;
  for (const int i : network.items[static_cast<std::size_t>(item)].cells) {
    sum += network.cells[static_cast<std::size_t>(i)].volume;
  }
  return sum;
}

double volume_of_walls(const mesh::Network& network) {
  double sum = 0;
  for (const auto& cell : network.cells) {
    if (network.parts[static_cast<std::size_t>(cell.part)].starts_with("wall ")) sum += cell.volume;
  }
  return sum;
}

}  // namespace

TEST_CASE("graded widths fill their length and keep their growth", "[mesh][section]") {
  const auto widths = mesh::section::graded_widths(0.1, 1e-3, 2e-3, 1.3, 8e-3, 1);
  CHECK(std::accumulate(widths.begin(), widths.end(), 0.0) == Approx(0.1).epsilon(1e-12));
  for (std::size_t i = 0; i + 1 < widths.size(); ++i) {
    const double ratio = widths[i + 1] / widths[i];
    CHECK(std::max(ratio, 1 / ratio) < 1.6);
  }
}

TEST_CASE("packs keep their volume in a section", "[mesh][section]") {
  for (const std::string name : {"delivery-round", "frozen-goods", "must-not-freeze"}) {
    const auto c = test::example_section(name);
    const auto network = mesh::build_network(c);
    for (std::size_t i = 0; i < c.coolants.size(); ++i) {
      INFO(name << " " << c.coolants[i].name);
      CHECK(volume_of_item(network, static_cast<int>(i)) ==
            Approx(volume_of(c.coolants[i])).epsilon(1e-9));
    }
  }
}

TEST_CASE("walls of a round jug in a section have their true volume", "[mesh][section]") {
  auto c = test::example_section("thin-box");
  c.box.inside = cases::RoundInside{0.3, 0.28};
  const auto network = mesh::build_network(c);
  const double t = 0.018;
  const double pi = 3.14159265358979323846;
  const double outer = pi * (0.15 + t) * (0.15 + t) * (0.28 + 2 * t);
  CHECK(volume_of_walls(network) == Approx(outer - pi * 0.15 * 0.15 * 0.28).epsilon(1e-9));
  CHECK(volume_of_item(network, 0) == Approx(volume_of(c.coolants[0])).epsilon(1e-9));
}

TEST_CASE("layers run round a corner, or meet in a mitre", "[mesh][section]") {
  const auto layer = [](const char* name, double thickness) {
    auto m = test::plain_material(1, 1000, 1000);
    m.name = name;
    return cases::Layer{cases::SolidLayer{m, thickness}};
  };
  const cases::Wall side{layer("skin", 2e-3), layer("foam", 40e-3)};
  const cases::Wall lid{layer("skin", 3e-3), layer("foam", 60e-3)};
  // The skin of the lid runs over the foam of neither wall.
  CHECK(mesh::section::wall_at(side, lid, cases::Place::lid, 1e-3, 2e-3).layer == 0);
  CHECK(mesh::section::wall_at(side, lid, cases::Place::lid, 5e-3, 2e-3).layer == 1);
  const cases::Wall plain{layer("foam", 60e-3)};
  CHECK(mesh::section::wall_at(side, plain, cases::Place::lid, 21e-3, 20e-3).wall ==
        cases::Place::sides);
  CHECK(mesh::section::wall_at(side, plain, cases::Place::lid, 21e-3, 40e-3).wall ==
        cases::Place::lid);
}

TEST_CASE("too many cells and packs that collide are refused", "[mesh][section]") {
  auto c = test::example_section("thin-box");
  c.run.section.most_cells = 500;
  CHECK_THROWS_AS(mesh::build_network(c), cases::InputError);
  c = test::example_section("delivery-round");
  c.coolants[0].thickness = 0.31;
  CHECK_THROWS_AS(mesh::build_network(c), cases::InputError);
}

TEST_CASE("a section holds the whole inside, and packs lie in it all round", "[mesh][section]") {
  const auto breadth = mesh::breadth_of_rectangle(0.4, 0.3, 4);
  CHECK(breadth.area(0, 0.15) == Approx(0.4 * 0.3).epsilon(1e-14));
  CHECK(breadth.at(0.15) == Approx(2 * (0.4 + 0.3)).epsilon(1e-14));
  CHECK(breadth.at(0.18) == Approx(1.4 + 4 * 0.03).epsilon(1e-14));
  // A pack with the same gap of 4 cm to every wall.
  CHECK(mesh::x_of_area(breadth, 0.32 * 0.22) == Approx(0.11).epsilon(1e-14));
  CHECK(breadth.area(0.1, 0.17) ==
        Approx(breadth.area(0.1, 0.15) + breadth.area(0.15, 0.17)).epsilon(1e-14));
  CHECK(mesh::across(breadth, 0.1, 0.17) ==
        Approx(std::log(1.4 / 1.0) / 8 + std::log(1.48 / 1.4) / 4).epsilon(1e-12));
  const auto round = mesh::breadth_of_round();
  CHECK(round.area(0, 0.2) == Approx(3.14159265358979 * 0.04).epsilon(1e-12));
  CHECK(mesh::across(round, 0.1, 0.2) ==
        Approx(std::log(2) / (2 * 3.14159265358979)).epsilon(1e-12));
}

// Four edges of walls of thickness t beside plane walls: P/t + 4 (1 − 2 ln2/π) per metre of height.
TEST_CASE("the upright edges of a section have their exact conductance", "[mesh][section]") {
  auto c = test::example_section("thin-box");
  const auto& r = std::get<cases::RectangularInside>(c.box.inside);
  const auto layout = mesh::section::layout_of(c);
  const double t = thickness_of(c.box.sides);
  const double perimeter = 2 * (r.length + r.width);
  const double exact = perimeter / t + 4 * 0.5587287997;
  CHECK(1 / mesh::across(layout.breadth, layout.half_width, layout.half_width + t) ==
        Approx(exact).epsilon(1e-9));
}

TEST_CASE("length and width may be exchanged", "[mesh][section]") {
  auto c = test::example_section("market-stall");
  const auto& r = std::get<cases::RectangularInside>(c.box.inside);
  const auto one = mesh::build_network(c);
  c.box.inside = cases::RectangularInside{r.width, r.length, r.height};
  const auto other = mesh::build_network(c);
  REQUIRE(one.cells.size() == other.cells.size());
  for (std::size_t i = 0; i < one.cells.size(); ++i) {
    if (one.cells[i].volume != Approx(other.cells[i].volume).epsilon(1e-12)) FAIL("cell " << i);
  }
  REQUIRE(one.links.size() == other.links.size());
  for (std::size_t i = 0; i < one.links.size(); ++i) {
    if (one.links[i].area != Approx(other.links[i].area).epsilon(1e-12)) FAIL("link " << i);
  }
}
