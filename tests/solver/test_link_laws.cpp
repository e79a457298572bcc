#include <catch2/catch.hpp>
#include <functional>
#include <string>
#include <vector>

#include "solver/heat/laws/air_layers_law.hpp"
#include "solver/heat/laws/closed_gap_law.hpp"
#include "solver/heat/laws/conductance_law.hpp"
#include "solver/heat/laws/convection_law.hpp"
#include "solver/heat/laws/link_law.hpp"
#include "solver/heat/laws/opening_law.hpp"
#include "solver/heat/laws/radiation_law.hpp"

using namespace thawline;
using solver::LinkHeat;

namespace {

struct Law {
  std::string name;
  std::function<LinkHeat(double, double)> heat;
};

/// Natural convection above 40 degC, where the table of the film's properties ends and these no
/// longer change.
std::vector<Law> laws() {
  using mesh::Facing;
  std::vector<Law> all{
      {"conductance", [](double a, double b) { return solver::conducted(0.7, a, b); }},
      {"radiation", [](double a, double b) { return solver::radiated(0.3, a, b); }},
      {"air layers", [](double a, double b) { return solver::layered(0.02, 0.4, a, b); }},
      {"opening", [](double a, double b) { return solver::let_through(30, 0.1, 0.05, a, b); }}};
  for (const Facing facing : {Facing::sideways, Facing::up, Facing::down}) {
    all.push_back({"convection", [facing](double a, double b) {
                     return solver::convected(facing, 0.2, 0.3, a, b);
                   }});
  }
  return all;
}

}  // namespace

TEST_CASE("each link law gives the derivatives of its flow", "[solver]") {
  for (const Law& law : laws()) {
    for (const auto& [a, b] : {std::pair{361.0, 352.0}, {340.0, 359.0}}) {
      INFO(law.name << " from " << a << " to " << b);
      const double d = 1e-3;
      const LinkHeat heat = law.heat(a, b);
      CHECK(heat.by_a ==
            Approx((law.heat(a + d, b).q - law.heat(a - d, b).q) / (2 * d)).epsilon(1e-6));
      CHECK(heat.by_b ==
            Approx((law.heat(a, b + d).q - law.heat(a, b - d).q) / (2 * d)).epsilon(1e-6));
      CHECK(heat.q * (a - b) > 0);
      CHECK(heat.by_a > 0);
      CHECK(heat.by_b < 0);
    }
    CHECK(law.heat(350, 350).q == 0);
  }
}

TEST_CASE("link laws against worked numbers", "[solver]") {
  CHECK(solver::conducted(0.5, 300, 280).q == Approx(10));
  // σ (300⁴ − 280⁴) = 110.7674 W/m2.
  CHECK(solver::radiated(1, 300, 280).q == Approx(110.7674).epsilon(1e-5));
  CHECK(solver::layered(2, 3, 284, 280).q == Approx(2 * 4 + 3 * 8));
  CHECK(solver::layered(2, 3, 280, 284).q == Approx(-8));
  CHECK(solver::let_through(30, 0, 0.05, 300, 280).q == Approx(30));
  CHECK(solver::let_through(30, 0.1, 0, 300, 280).q == 0);
  CHECK(solver::let_through(0, 1, 0.05, 300, 280).q == Approx(110.7674).epsilon(1e-5));
}

TEST_CASE("a closed gap's resistance knows its derivative", "[solver]") {
  const mesh::ClosedGap gap{0.02, 1.5, 1.25, 0.9};
  const double d = 0.01;
  const auto r = solver::gap_resistance(gap, 285);
  // h = 1.25 + 4 σ 285³/(2/0.9 − 1) = 5.5459 W/m2/K.
  CHECK(1 / r.value == Approx(1.5 * 5.5459).epsilon(1e-4));
  CHECK(r.by_mean == Approx((solver::gap_resistance(gap, 285 + d).value -
                             solver::gap_resistance(gap, 285 - d).value) /
                            (2 * d))
                         .epsilon(1e-6));
}

TEST_CASE("a link carries heat by the law it has", "[solver]") {
  mesh::Link link;
  link.conductance = 0.5;
  link.mixing = 2;
  link.area = 0.3;
  link.length = 0.2;
  link.facing = mesh::Facing::up;
  const solver::Conditions open{0, 0, 0.1};
  const auto q = [&](mesh::Law law) {
    link.law = law;
    return solver::link_heat(link, 295, 281, open).q;
  };
  CHECK(q(mesh::Law::conductance) == solver::conducted(0.5, 295, 281).q);
  CHECK(q(mesh::Law::gasket) == solver::conducted(0.5, 295, 281).q);
  CHECK(q(mesh::Law::radiation) == solver::radiated(0.3, 295, 281).q);
  CHECK(q(mesh::Law::convection) == solver::convected(mesh::Facing::up, 0.3, 0.2, 295, 281).q);
  CHECK(q(mesh::Law::air_layers) == solver::layered(0.5, 2, 295, 281).q);
  CHECK(q(mesh::Law::opening) == solver::let_through(0.5, 0.3, 0.1, 295, 281).q);
}
