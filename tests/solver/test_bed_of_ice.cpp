#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "cases/read_case.hpp"
#include "solver/results/probes.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

namespace {

cases::Case box_of_ice(const std::string& rest) {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  const std::string box =
      "title: box\n"
      "box:\n"
      "  inside: {length: 50 cm, width: 30 cm, height: 30 cm}\n"
      "  wall: [{material: pu_foam, thickness: 35 mm}]\n";
  return cases::read_case_text("case.yaml", box + rest, shelf);
}

/// The probes at every step.
struct Curve : solver::Watcher {
  explicit Curve(const mesh::Network& built) : network(built) {}
  [[nodiscard]] double probe(const solver::StepView& view, const std::string& name) const {
    const auto found = std::find_if(network.probes.begin(), network.probes.end(),
                                    [&name](const auto& p) { return p.name == name; });
    return solver::probe_temperature(view, *found, view.end) - 273.15;
  }
  [[nodiscard]] double melted(const solver::StepView& view) const {
    return solver::item_liquid_fraction(view, network.items[0], 0, view.end);
  }
  const mesh::Network& network;
};

}  // namespace

TEST_CASE("the air of a drained box does not cool while the ice shrinks", "[solver]") {
  const std::string detail = GENERATE("1d", "2d, accuracy: 0.2 K", "2d, accuracy: 0.05 K");
  const auto c = box_of_ice(
      "coolant: [{name: ice, material: water_ice, amount: 8 kg, form: loose, start: -2 degC, "
      "melt_water: drained}]\n"
      "surroundings: {air: 28 degC}\n"
      "run: {duration: 60 h, detail: " +
      detail + "}\n");
  struct Air : Curve {
    using Curve::Curve;
    void at_instant(const solver::StepView&) override {}
    void after_step(const solver::StepView& view) override {
      const double air = probe(view, "air");
      const double f = melted(view);
      if (f < 0.1 || f > 0.99) return;
      if (warmest > -100) fallen = std::max(fallen, warmest - air);
      warmest = std::max(warmest, air);
      if (first < -100) first = air;
    }
    double first = -200, warmest = -200, fallen = 0;
  };
  const mesh::Network network = mesh::build_network(c);
  Air air(network);
  const auto result = solver::run_network(c, network, {&air});
  REQUIRE(result.summary.completed);
  INFO(detail << ": air " << air.first << " to " << air.warmest << ", falls by " << air.fallen);
  CHECK(air.fallen < 0.1);
  CHECK(air.warmest > air.first + 0.5);
}

TEST_CASE("a hand of ice does not keep tall cans at its melting point", "[solver]") {
  const auto c = box_of_ice(
      "coolant: [{name: ice, material: water_ice, amount: 0.1 kg, form: loose, start: 0 degC}]\n"
      "payload: [{name: drinks, contents: cola, start: 9 degC,\n"
      "  cans: {count: 2, volume: 0.33 L, diameter: 60 mm, height: 130 mm}}]\n"
      "surroundings: {air: 9 degC}\n"
      "run: {duration: 2 h}\n");
  struct Drinks : Curve {
    using Curve::Curve;
    void at_instant(const solver::StepView&) override {}
    void after_step(const solver::StepView& view) override {
      if (melted(view) < 1) while_ice = probe(view, "drinks");
    }
    double while_ice = -200;
  };
  const mesh::Network network = mesh::build_network(c);
  Drinks drinks(network);
  REQUIRE(solver::run_network(c, network, {&drinks}).summary.completed);
  INFO("drinks at " << drinks.while_ice << " degC when the last of the ice melts");
  CHECK(drinks.while_ice > 3);
}

TEST_CASE("loose ice that only fits without its voids is refused", "[cases]") {
  const auto read = [](const std::string& amount) {
    return box_of_ice("coolant: [{name: ice, material: water_ice, amount: " + amount +
                      ", form: loose, start: 0 degC}]\nsurroundings: {air: 9 degC}\n"
                      "run: {duration: 2 h}\n");
  };
  CHECK_NOTHROW(read("26.9 L"));
  CHECK_THROWS_WITH(read("27.1 L"), Catch::Contains("45.17 L with the voids between its pieces"));
}
