#include <catch2/catch.hpp>

#include "cases/read_case.hpp"
#include "solver/results/run_case.hpp"
#include "support/example_section.hpp"

using namespace thawline;

namespace {

cases::Case box(std::optional<double> air_conductivity, const std::string& probe) {
  auto c = test::example_section("thin-box");
  c.run.section.fineness = 0.5;
  c.run.section.air_conductivity = air_conductivity;
  c.run.duration = 6 * 3600;
  c.limits[0].probes = {probe};
  // Two layers of bottles, the upper one farther from the gel on the floor.
  std::get<cases::Cans>(c.payloads[0].body).count = 24;
  std::get<cases::Cans>(c.payloads[0].body).volume = 0.125e-3;
  std::get<cases::Cans>(c.payloads[0].body).height = 0.09;
  return c;
}

double hold_time(const cases::Case& c) {
  const auto result = solver::run_case(c);
  CHECK(result.summary.closure <= 1e-9);
  REQUIRE(result.limits[0].end_time > 0);
  return result.limits[0].hold_time();
}

}  // namespace

TEST_CASE("air that conducts very well is the well-mixed air", "[solver][section]") {
  const double mixed = hold_time(box(std::nullopt, "bottles"));
  CHECK(hold_time(box(1e4, "bottles warmest")) == Approx(mixed).epsilon(1e-3));
  CHECK(hold_time(box(1e4, "bottles coldest")) == Approx(mixed).epsilon(1e-3));
}

TEST_CASE("where air conducts little the bottles far from the gel warm first",
          "[solver][section]") {
  const double warmest = hold_time(box(0.03, "bottles warmest"));
  const double mean = hold_time(box(0.03, "bottles"));
  const double coldest = hold_time(box(0.03, "bottles coldest"));
  CHECK(warmest < 0.98 * mean);
  CHECK(coldest > 1.02 * mean);
}
