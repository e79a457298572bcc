#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "cases/read_case.hpp"
#include "solver/results/freeze_coolants.hpp"
#include "solver/results/run_case.hpp"
#include "support/one_column.hpp"

using namespace thawline;
using test::rounded_ice;
using test::zero_celsius;

namespace {

constexpr double hour = 3600;

cases::Freezing freezer(double air, double hours, double from, double film, double thickness) {
  cases::Freezing f;
  f.air = zero_celsius + air;
  f.duration = hours * hour;
  f.from = zero_celsius + from;
  f.coefficient = film;
  f.thickness = thickness;
  return f;
}

/// The hours after which `is_done` of what comes out is true, by halving.
template <class IsDone>
double hours_until(const cases::Material& m, cases::Freezing f, double most,
                   const IsDone& is_done) {
  double low = 0;
  double high = most;
  for (int i = 0; i < 30; ++i) {
    const double middle = (low + high) / 2;
    f.duration = middle * hour;
    (is_done(solver::frozen_after(m, f, 1)) ? high : low) = middle;
  }
  return high;
}

/// The same slab by an explicit scheme on enthalpy, written apart from the solver: mean enthalpy
/// and liquid share. Rounded ice only.
solver::Frozen explicit_solution(const cases::Freezing& f, int cells) {
  constexpr double rho = 917, ks = 2.2, kl = 0.57, cs = 2050, cl = 4200, latent = 333.4e3;
  const double dx = f.thickness / 2 / cells;
  const auto count = static_cast<std::size_t>(cells);
  const double step = 0.4 * dx * dx * rho * cs / (2 * ks);
  std::vector<double> h(count, latent + cl * (f.from - zero_celsius));
  std::vector<double> t(count), k(count), flow(count + 1, 0);
  const auto look = [&] {
    for (std::size_t i = 0; i < count; ++i) {
      const double liquid = std::clamp(h[i] / latent, 0.0, 1.0);
      t[i] = h[i] < 0 ? h[i] / cs : h[i] > latent ? (h[i] - latent) / cl : 0;
      k[i] = liquid * kl + (1 - liquid) * ks;
    }
  };
  for (double time = 0; time < f.duration; time += step) {
    const double dt = std::min(step, f.duration - time);
    look();
    for (std::size_t i = 1; i < count; ++i) {
      flow[i] = (t[i - 1] - t[i]) / (dx / 2 / k[i - 1] + dx / 2 / k[i]);
    }
    flow[count] =
        (t[count - 1] - (f.air - zero_celsius)) / (dx / 2 / k[count - 1] + 1 / f.coefficient);
    for (std::size_t i = 0; i < count; ++i) h[i] += dt * (flow[i] - flow[i + 1]) / (rho * dx);
  }
  look();
  solver::Frozen out;
  for (std::size_t i = 0; i < count; ++i) {
    out.enthalpy += h[i] / cells;
    out.liquid += std::clamp(h[i] / latent, 0.0, 1.0) / cells;
    out.temperature += (zero_celsius + t[i]) / cells;
  }
  return out;
}

}  // namespace

// R. Plank, Zeitschrift fuer die gesamte Kaelte-Industrie 48 (1941): t = rho L/(Tf - Ta) (d/(2h) +
// d2/(8k)) for a slab at its freezing point without sensible heat (from memory).
TEST_CASE("a slab without sensible heat freezes in Plank's time", "[freezer]") {
  cases::Material m = rounded_ice();
  m.heat_capacity_solid = m.heat_capacity_liquid = test::constant(20);
  for (const double thickness : {0.01, 0.03, 0.06}) {
    for (const double film : {6.0, 25.0}) {
      const double plank =
          917 * 333.4e3 / 18 * (thickness / (2 * film) + thickness * thickness / (8 * 2.2)) / hour;
      const double ours = hours_until(m, freezer(-18, 0, 0.001, film, thickness), 3 * plank,
                                      [](const solver::Frozen& s) { return s.liquid < 1e-6; });
      INFO(1e3 * thickness << " mm, " << film << " W/m2/K: " << ours << " h, Plank " << plank);
      CHECK(ours == Approx(plank).epsilon(0.01));
    }
  }
}

// Q. T. Pham, Journal of Food Technology 21 (1986) 209-219 (from memory), for foods, said to be
// within 10 %: t = d/(2h) (dH1/dT1 + dH2/dT2) (1 + Bi/2) until the middle is at Tc, with a mean
// freezing temperature of 1.8 + 0.263 Tc + 0.105 Ta degC. It does not fit pure ice, all of which
// freezes at 0 degC.
TEST_CASE("a slab of food freezes in about Pham's time", "[freezer]") {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  for (const char* name : {"lean_beef", "fish_fillet"}) {
    const cases::Material& m = shelf.at(name);
    const auto& melting = std::get<cases::DiluteMelting>(m.melting);
    const double solid = m.conductivity_solid.at(zero_celsius - 15);
    for (const double air : {-18.0, -30.0}) {
      for (const double thickness : {0.02, 0.05}) {
        constexpr double film = 15, from = 20, core = -10;
        const double mean = 1.8 + 0.263 * core + 0.105 * air;
        const double half = thickness / 2;
        const double above =
            m.density * m.heat_capacity_liquid.at(zero_celsius + 10) * (from - mean);
        const double below =
            m.density * (melting.water * melting.latent_heat +
                         m.heat_capacity_solid.at(zero_celsius - 15) * (mean - core));
        const double pham = half / film *
                            (above / ((from + mean) / 2 - air) + below / (mean - air)) *
                            (1 + film * half / solid / 2) / hour;
        const double ours =
            hours_until(m, freezer(air, 0, from, film, thickness), 3 * pham,
                        [](const solver::Frozen& s) { return s.core < zero_celsius + core; });
        INFO(name << ", " << air << " degC, " << 1e3 * thickness << " mm: " << ours << " h, Pham "
                  << pham);
        CHECK(ours == Approx(pham).epsilon(0.1));
      }
    }
  }
}

TEST_CASE("what comes out of a freezer is that of an independent fine solution", "[freezer]") {
  const cases::Material m = rounded_ice();
  for (const double hours : {2.0, 6.0, 10.0, 16.0}) {
    const auto f = freezer(-18, hours, 20, 15, 0.03);
    const solver::Frozen ours = solver::frozen_after(m, f, 1);
    const solver::Frozen fine = explicit_solution(f, 90);
    INFO(hours << " h: liquid " << ours.liquid << ", independent " << fine.liquid);
    CHECK(ours.liquid == Approx(fine.liquid).margin(0.005));
    CHECK(ours.enthalpy == Approx(fine.enthalpy).margin(2e3));
    CHECK(ours.temperature == Approx(fine.temperature).margin(0.1));
  }
}

namespace {

const std::string root = THAWLINE_SOURCE_DIR;

cases::Case box(const std::string& coolant) {
  const std::string yaml = R"(
title: a box
box:
  inside: {length: 40 cm, width: 30 cm, height: 30 cm}
  wall: [{material: eps, thickness: 30 mm}]
coolant: [)" + coolant + R"(]
surroundings: {air: 25 degC}
run: {duration: 1 h}
)";
  return cases::read_case_text(root + "/cases/examples/a-box.yaml", yaml,
                               cases::read_material_folder(root + "/cases/materials"));
}

}  // namespace

TEST_CASE("a coolant from a freezer starts with the heat it came out with", "[freezer]") {
  const std::string pack =
      "{material: gel_pack, amount: 2 kg, form: pack, thickness: 40 mm, start: {in: -18 degC, "
      "for: ";
  for (const char* hours : {"1 h", "8 h", "200 h"}) {
    cases::Case c = box(pack + hours + "}}");
    REQUIRE(c.coolants[0].freezing);
    CHECK(c.coolants[0].freezing->thickness == Approx(0.04));
    CHECK_THROWS_AS(mesh::build_network(c), std::logic_error);
    const auto out = solver::frozen_after(c.coolants[0].material, *c.coolants[0].freezing, 1);
    solver::settle_starts(c);
    const auto network = mesh::build_network(c);
    const solver::HeatBalance balance(network);
    const auto state = balance.start_state();
    double heat = 0;
    for (const int cell : network.items[0].cells) heat += state.enthalpy[cell];
    INFO(hours << ": " << out.liquid);
    CHECK(heat == Approx(2 * out.enthalpy).margin(200));
    REQUIRE_FALSE(c.notices.empty());
    const std::string& notice = c.notices.back();
    CHECK(notice.find("'gel_pack' comes out of -18.0 degC after") == 0);
    CHECK((notice.find("% liquid") != std::string::npos) == (out.liquid >= 0.005));
    const auto once = c.notices;
    solver::settle_starts(c);
    CHECK(c.notices == once);
  }
  // After 200 h it is as cold as the freezer.
  cases::Case cold = box(pack + "200 h}}");
  solver::settle_starts(cold);
  CHECK(cold.coolants[0].start == Approx(zero_celsius - 18).margin(0.01));
  CHECK_FALSE(cold.coolants[0].start_liquid_fraction);
}

TEST_CASE("a stack freezes layer by layer, and pieces like spheres", "[freezer]") {
  const cases::Case stack = box(
      "{material: gel_pack, amount: 2 kg, form: pack, thickness: 10 mm, stacked: 4, start: {in: "
      "-18 degC, for: 8 h}}");
  CHECK(stack.coolants[0].freezing->thickness == Approx(0.01));
  const cases::Case loose =
      box("{material: water_ice, amount: 2 kg, form: loose, pieces: {each: 10 mL}, start: {in: -18 "
          "degC, for: 8 h, from: 12 degC, coefficient: 20 W/m2/K}}");
  const auto& f = *loose.coolants[0].freezing;
  CHECK(f.thickness == Approx(std::cbrt(6 * 1e-5 / 3.14159265) / 3));
  CHECK(f.from == Approx(zero_celsius + 12));
  CHECK(f.coefficient == 20);
}

TEST_CASE("amounts as the trade measures them", "[freezer]") {
  const std::string ice = "{material: water_ice, form: loose, start: -5 degC, amount: ";
  CHECK(box(ice + "{displaces: 1.14 L}}").coolants[0].mass == Approx(1.14e-3 * 917));
  const auto bulk = box(ice + "{bulk: 5 L}}").coolants[0];
  CHECK(bulk.mass == Approx(5e-3 * 0.6 * 917));
  CHECK(cases::space_of(bulk) == Approx(5e-3));
  const auto pieces = box(ice + "{displaces: 1.143 L}, pieces: {each: 10 mL}}").coolants[0];
  REQUIRE(pieces.pieces);
  CHECK(pieces.pieces->count == 114);
  CHECK(pieces.mass == Approx(114 * 1e-5 * 917));
  CHECK(pieces.pieces->asked == Approx(1.143e-3 * 917));
  // Ice grows by 9 %: 1.14 L of it are 1.046 L of water (917 and 999.84 kg/m3).
  CHECK(1e3 * cases::liquid_volume_of(pieces) == Approx(1.14 * 917 / 999.84));
}
