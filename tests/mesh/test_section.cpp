#include <catch2/catch.hpp>
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

// The edges the section does not resolve are on the end walls; together with those it does, they
// are the whole box.
TEST_CASE("end walls carry the edges a section does not cut", "[mesh][section]") {
  auto c = test::example_section("thin-box");
  const auto& r = std::get<cases::RectangularInside>(c.box.inside);
  const auto ends = mesh::end_walls(c.box);
  CHECK(ends.area == Approx(2 * r.length * r.height));
  double edges = 0;
  for (const auto& face : mesh::box_faces(c.box)) edges += face.edge_conductance;
  const double t = 0.018;
  const double k = ends.plane_conductance * t / ends.area;
  const double in_section = 4 * r.width * 0.5587287 * k;
  CHECK(ends.edge_conductance + in_section == Approx(edges).epsilon(1e-6));
}
