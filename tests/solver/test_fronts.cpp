#include <catch2/catch.hpp>
#include <vector>

#include "solver/heat/heat_balance.hpp"
#include "support/plane_section.hpp"

using namespace thawline;
using solver::FrontPlace;
using test::zero_celsius;

namespace {

constexpr int count = 7;
constexpr double thickness = 0.014;

mesh::Network ice_column() {
  return test::slab({{test::rounded_ice(), thickness, count}}, zero_celsius - 5, 20, 30);
}
mesh::Network ice_section() {
  return test::one_across(test::rounded_ice(), thickness, count, zero_celsius - 5, 20, 30).build();
}

/// Cells by liquid fraction: 0 at −3 degC, 1 at +2 degC; both surfaces at `inner` and `outer` degC.
solver::State state_of(const solver::HeatBalance& balance, const std::vector<double>& fractions,
                       double inner, double outer) {
  auto state = balance.zero_state();
  for (int i = 0; i < count; ++i) {
    const auto& curve = balance.curve(i);
    const double f = fractions[static_cast<std::size_t>(i)];
    state.enthalpy[i] = balance.mass(i) * (f <= 0   ? curve.enthalpy_at(zero_celsius - 3)
                                           : f >= 1 ? curve.enthalpy_at(zero_celsius + 2)
                                                    : curve.enthalpy_at_fraction(f));
  }
  for (const auto& face : balance.network().faces) {
    if (face.hub >= 0) state.surface[face.hub] = zero_celsius + (face.low < 0 ? inner : outer);
  }
  return state;
}

/// The fronts of a network of ice, placed by what `state_of` takes.
struct Ice {
  explicit Ice(const mesh::Network& built)
      : network(built),
        neighbours(solver::neighbours_of(network)),
        cells(network),
        fronts(cells, neighbours),
        balance(network) {}
  void place(const std::vector<double>& fractions, double inner, double outer) {
    fronts.place_all(state_of(balance, fractions, inner, outer), cells);
  }
  const mesh::Network& network;
  std::vector<solver::Neighbours> neighbours;
  solver::CellStates cells;
  solver::Fronts fronts;
  solver::HeatBalance balance;
};

struct Placed {
  const char* what;
  std::vector<double> fractions;
  double inner, outer;
  int cell;
  FrontPlace place;
};

const std::vector<Placed> known{
    {"melting from inside", {1, 1, 0.4, 0, 0, 0, 0}, 3, -4, 2, FrontPlace::liquid_inward},
    {"melting from outside", {0, 0, 0, 0, 0.4, 1, 1}, -4, 3, 4, FrontPlace::liquid_outward},
    {"freezing from inside", {0, 0, 0.4, 1, 1, 1, 1}, -4, 3, 2, FrontPlace::liquid_outward},
    {"melting from both", {1, 1, 1, 0.4, 1, 1, 1}, 3, 3, 3, FrontPlace::solid_core},
    {"freezing from both", {0, 0, 0, 0.6, 0, 0, 0}, -3, -3, 3, FrontPlace::liquid_core},
    {"begins at the inner face", {0.2, 0, 0, 0, 0, 0, 0}, 3, -4, 0, FrontPlace::liquid_inward}};

/// Straight cells have no front.
FrontPlace place_in(const mesh::Network& network, const Placed& p, std::size_t axis) {
  Ice ice(network);
  ice.place(p.fractions, p.inner, p.outer);
  CHECK(ice.fronts.any());
  CHECK(ice.fronts.place(p.cell, 1 - axis) == FrontPlace::none);
  return ice.fronts.place(p.cell, axis);
}

}  // namespace

TEST_CASE("a front's liquid lies towards the nearest of the other phase", "[solver]") {
  for (const Placed& p : known) {
    INFO(p.what);
    CHECK(place_in(ice_column(), p, 0) == p.place);
    CHECK(place_in(ice_section(), p, 1) == p.place);
  }
}

TEST_CASE("a front keeps its place where no other phase is left to see", "[solver]") {
  const auto network = ice_column();
  Ice ice(network);
  ice.place({1, 1, 0.4, 0, 0, 0, 0}, 3, -4);
  ice.place({1, 1, 0.9, 1, 1, 1, 1}, 3, 3);
  CHECK(ice.fronts.place(2, 0) == FrontPlace::liquid_inward);
  ice.place({1, 1, 1, 1, 1, 1, 1}, 3, 3);
  CHECK(ice.fronts.place(2, 0) == FrontPlace::none);
}

TEST_CASE("the parts beside a front are as warm and cold as the straight line to their nodes",
          "[solver]") {
  const auto network = ice_column();
  Ice ice(network);
  ice.place({1, 1, 0.4, 0, 0, 0, 0}, 3, -4);
  // Liquid node 2 K warmer, 0.4 + 0.5 cells from the front; solid one 3 K colder, 0.6 + 0.5.
  const auto& sides = ice.cells.mixed[2].sides();
  CHECK(sides.superheat == Approx(0.5 * 2 / 0.9));
  CHECK(sides.subcooling == Approx(0.5 * 3 / 1.1));
}

TEST_CASE("a column and a section one cell across have the same rates and derivatives",
          "[solver][section]") {
  for (const Placed& p : known) {
    INFO(p.what);
    solver::HeatBalance column(ice_column());
    solver::HeatBalance section(ice_section());
    auto rates_c = column.zero_rates();
    auto rates_s = section.zero_rates();
    const auto state_c = state_of(column, p.fractions, p.inner, p.outer);
    const auto state_s = state_of(section, p.fractions, p.inner, p.outer);
    column.place_fronts(state_c);
    section.place_fronts(state_s);
    const solver::Conditions conditions{zero_celsius + 5, zero_celsius - 6, 0};
    column.evaluate(state_c, conditions, rates_c);
    section.evaluate(state_s, conditions, rates_s);
    for (int i = 0; i < count; ++i) {
      CHECK(rates_s.cells[i] == Approx(rates_c.cells[i]).epsilon(1e-12));
      CHECK(section.faces().own_slope(i) == Approx(column.faces().own_slope(i)).epsilon(1e-12));
    }
    CHECK(rates_s.paths[0] == Approx(rates_c.paths[0]).epsilon(1e-12));
    CHECK(rates_s.paths[1] == Approx(rates_c.paths[1]).epsilon(1e-12));
    // A front in its cell moves its resistances, and what reaches the cell by them.
    CHECK(column.faces().own_slope(p.cell) != 0);
    column.hold_fronts(true);
    column.evaluate(state_c, conditions, rates_c);
    CHECK(column.faces().own_slope(p.cell) == 0);
  }
}
