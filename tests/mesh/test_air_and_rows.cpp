#include <catch2/catch.hpp>
#include <numeric>

#include "mesh/network.hpp"
#include "mesh/section/payload_rows.hpp"
#include "support/example_section.hpp"

using namespace thawline;

namespace {

cases::Case example(const std::string& name) {
  auto c = test::example_section(name);
  c.run.section.air_conductivity = 0.1;
  return c;
}

void set_count(cases::Case& c, int count) {
  std::get<cases::Cans>(c.payloads[0].body).count = count;
}

}  // namespace

TEST_CASE("rows hold every can, bottom first and from the middle outward", "[mesh][section]") {
  for (const bool round : {false, true}) {
    for (const int count : {1, 6, 7, 40, 5000}) {
      auto c = example("thin-box");
      if (round) c.box.inside = cases::RoundInside{0.35, 0.28};
      set_count(c, count);
      const auto layout = mesh::section::layout_of(c);
      const auto rows = mesh::section::payload_rows(c, layout);
      INFO((round ? "round, " : "box, ") << count << " cans");
      CHECK(std::accumulate(rows.begin(), rows.end(), 0,
                            [](int n, const auto& r) { return n + r.cans; }) == count);
      CHECK(rows.size() <= 144);
      CHECK(rows.front().x0 == 0);
      CHECK(rows.front().z0 == Approx(0.03));
      for (std::size_t i = 0; i < rows.size(); ++i) {
        CHECK(rows[i].x1 <= layout.half_width + 1e-12);
        CHECK(rows[i].z1 <= layout.height + 1e-12);
        if (i > 0) CHECK(rows[i].z0 >= rows[i - 1].z0);
      }
    }
  }
}

TEST_CASE("parcels of air and rows of cans keep volume and capacity", "[mesh][section]") {
  for (const bool radial : {false, true}) {
    auto c = example("thin-box");
    std::get<cases::Cans>(c.payloads[0].body).radial = radial;
    const auto network = mesh::build_network(c);
    double air = 0;
    double contents = 0;
    int cans = 0;
    for (const auto& region : network.regions) {
      cans += region.pieces;
      for (int i = region.first; i < region.first + region.cells; ++i) {
        (region.item < 0 ? air : contents) += network.cells[static_cast<std::size_t>(i)].volume;
      }
    }
    CHECK(air == Approx(network.free_air_volume).epsilon(1e-12));
    CHECK(contents == Approx(6 * 0.5e-3).epsilon(1e-9));
    CHECK(cans == 6);
    for (const auto& probe : network.probes) {
      if (probe.hub >= 0 && probe.cells.empty()) continue;
      const double sum = std::accumulate(probe.weights.begin(), probe.weights.end(), 0.0);
      CHECK(sum == Approx(probe.of == mesh::Probe::Of::mean ? 1.0 : double(probe.row_ends.size())));
    }
  }
}
