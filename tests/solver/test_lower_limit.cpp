#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <string>

#include "cases/read_case.hpp"
#include "solver/program/report.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

namespace {

cases::Case goods(const std::string& start, const std::string& air, const std::string& limits) {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  return cases::read_case_text("goods.yaml",
                               fmt::format(R"(title: goods in a box
box:
  inside: {{length: 30 cm, width: 20 cm, height: 20 cm}}
  wall: [{{material: eps, thickness: 20 mm}}]
payload:
  - {{name: goods, contents: cola, start: {}, cans: {{count: 4, volume: 0.33 L, diameter: 66 mm,
     height: 115 mm}}}}
surroundings: {{air: {}}}
limits:
{}
run: {{duration: 30 h}}
)",
                                           start, air, limits),
                               shelf);
}

std::vector<solver::LimitResult> limits_of(const cases::Case& c) {
  const auto result = solver::run_case(c);
  REQUIRE(result.summary.completed);
  return result.limits;
}

const std::string both_at_5 =
    "  - {name: upper, probe: goods, not_above: 5 degC}\n"
    "  - {name: lower, probe: goods, not_below: 5 degC}";

}  // namespace

TEST_CASE("goods that cool leave a lower limit as they meet the upper one", "[solver][limits]") {
  const auto limits = limits_of(goods("20 degC", "-1 degC", both_at_5));
  const auto& upper = limits[0];
  const auto& lower = limits[1];
  CHECK(lower.chill_time == 0);
  CHECK(lower.end_time > 3600);
  CHECK(lower.end_time == upper.chill_time);
  CHECK(lower.hold_time() == lower.end_time);
  CHECK(upper.end_time == solver::never);
  CHECK(lower.time_past == Approx(30 * 3600 - lower.end_time));
  CHECK(upper.time_past == 0);
  REQUIRE((lower.worst && upper.worst));
  CHECK(*upper.worst == Approx(278.15).margin(1e-9));
  CHECK(*lower.worst < 278.15 - 1);
  CHECK(*lower.worst > 272.15);
}

TEST_CASE("goods that warm meet a lower limit as they leave the upper one", "[solver][limits]") {
  const auto limits = limits_of(goods("1 degC", "30 degC", both_at_5));
  const auto& upper = limits[0];
  const auto& lower = limits[1];
  CHECK(upper.chill_time == 0);
  CHECK(lower.chill_time == upper.end_time);
  CHECK(lower.end_time == solver::never);
  CHECK(lower.held(30 * 3600) == Approx(30 * 3600 - upper.end_time));
  REQUIRE((lower.worst && upper.worst));
  CHECK(*lower.worst == Approx(278.15).margin(1e-9));
  CHECK(*upper.worst > 278.15 + 1);
}

TEST_CASE("the time on either side of a limit adds up", "[solver][limits]") {
  const auto limits =
      limits_of(goods("4 degC", "{mean: 5 degC, swing: 20 K, warmest_at: 3 h}", both_at_5));
  const auto& upper = limits[0];
  const auto& lower = limits[1];
  REQUIRE(upper.chill_time == 0);
  REQUIRE(lower.chill_time > 0);
  CHECK(upper.returns + lower.returns > 0);
  CHECK(upper.time_past + lower.time_past == Approx(30 * 3600 - lower.chill_time));
}

TEST_CASE("limits that always or never hold tell the extreme of their own side",
          "[solver][limits]") {
  const auto c = goods("20 degC", "-1 degC",
                       "  - {name: always, probe: goods, not_below: -40 degC}\n"
                       "  - {name: never, probe: goods, not_below: 60 degC}\n"
                       "  - {name: upper, probe: goods, not_above: 60 degC}");
  const auto limits = limits_of(c);
  CHECK(limits[0].chill_time == 0);
  CHECK(limits[0].end_time == solver::never);
  REQUIRE((limits[0].worst && limits[2].worst));
  CHECK(*limits[0].worst < 278.15);
  CHECK(*limits[2].worst == Approx(293.15).margin(0.01));
  CHECK(limits[1].chill_time == solver::never);
  CHECK_FALSE(limits[1].worst);
  const auto network = mesh::build_network(c);
  const auto result = solver::run_network(c, network, {});
  const std::string report = program::run_report(c, network, result);
  CHECK_THAT(report, Catch::Contains("never comes up to 60.0 degC") &&
                         Catch::Contains("still holds at the end of the run (30.0 h); coldest") &&
                         Catch::Contains("; warmest 20.0 degC"));
  const auto json = program::run_report_json(c, network, result);
  CHECK(json["limits"][0]["side"] == "not_below");
  CHECK(json["limits"][2]["side"] == "not_above");
  CHECK(json["limits"][0]["worst_K"].get<double>() == *limits[0].worst);
  CHECK(json["limits"][1]["worst_K"].is_null());
}
