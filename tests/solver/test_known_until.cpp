#include <catch2/catch.hpp>
#include <string>

#include "cases/read_case.hpp"
#include "solver/program/report.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

// How long a limit holds is known no further than the air is, or than the goods are there.

namespace {

constexpr double hour = 3600;

cases::Case cold_drinks() {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  return cases::read_case_text("case.yaml", R"(title: box
box:
  inside: {length: 30 cm, width: 20 cm, height: 20 cm}
  wall: [{material: eps, thickness: 30 mm}]
payload:
  - {name: drinks, contents: cola, start: 3 degC,
     cans: {count: 4, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}
surroundings: {air: 4 degC}
limits:
  - {name: cold, probe: drinks, not_above: 8 degC}
run: {duration: 48 h}
)",
                               shelf);
}

cases::Trace trace(std::vector<double> hours, std::vector<double> celsius) {
  cases::Trace made;
  for (const double h : hours) made.time.push_back(h * hour);
  for (const double t : celsius) made.temperature.push_back(t + 273.15);
  return made;
}

struct Run {
  explicit Run(const cases::Case& c)
      : network(mesh::build_network(c)),
        result(solver::run_network(c, network, {})),
        limit(result.limits[0]),
        text(program::run_report(c, network, result)),
        json(program::run_report_json(c, network, result)["limits"][0]) {
    REQUIRE(result.summary.completed);
  }
  mesh::Network network;
  solver::RunResult result;
  solver::LimitResult limit;
  std::string text;
  nlohmann::ordered_json json;
};

}  // namespace

TEST_CASE("what holds to the end of its trace holds at least so long", "[solver][limits]") {
  auto c = cold_drinks();
  c.surroundings.air = trace({0, 10}, {4, 4});
  const Run run(c);
  CHECK(run.limit.end_time == solver::never);
  CHECK(run.limit.known_until == 10 * hour);
  CHECK(run.limit.held(c.run.duration) == 10 * hour);
  CHECK_THAT(run.text, Catch::Contains("holds at least 10.0 h, until the trace ends at 10.0 h"));
  CHECK_THAT(run.text, !Catch::Contains("still holds"));
  CHECK(run.json["hold_time_s"].is_null());
  CHECK(run.json["held_s"] == 10 * hour);
  CHECK(run.json["known_until_s"] == 10 * hour);
}

TEST_CASE("what would end after its trace is not said to", "[solver][limits]") {
  auto c = cold_drinks();
  c.surroundings.air = trace({0, 1}, {30, 30});
  const Run cut(c);
  CHECK(cut.limit.end_time == solver::never);
  CHECK(cut.limit.held(c.run.duration) == 1 * hour);
  CHECK(cut.limit.time_past == 0);
  REQUIRE(cut.limit.worst);
  CHECK(*cut.limit.worst < 281.15);
  c.surroundings.air = trace({0, 40}, {30, 30});
  const Run whole(c);
  CHECK(whole.limit.end_time > 1 * hour);
  CHECK(whole.limit.known_until == 40 * hour);
  CHECK(whole.limit.time_past == Approx(40 * hour - whole.limit.end_time));
}

TEST_CASE("the last reading may be taken as given", "[solver][limits]") {
  auto c = cold_drinks();
  c.surroundings.air = trace({0, 1}, {30, 30});
  cases::keep_last_reading(c);
  const Run run(c);
  CHECK(run.limit.end_time > 1 * hour);
  CHECK(run.limit.known_until == c.run.duration);
}

TEST_CASE("goods that were taken out hold no longer", "[solver][limits]") {
  auto c = cold_drinks();
  c.happenings = {{20 * hour, cases::RemoveItem{"drinks"}}};
  const Run run(c);
  CHECK(run.limit.end_time == solver::never);
  CHECK(run.limit.known_until == 20 * hour);
  CHECK(run.limit.held(c.run.duration) == 20 * hour);
  CHECK_THAT(run.text, Catch::Contains(
                           "holds at least 20.0 h, until what it watches is taken out at 20.0 h"));
  c.limits[0].probes.emplace_back("air");
  CHECK(Run(c).limit.known_until == c.run.duration);
}

TEST_CASE("a limit is known to the end of a run that has both", "[solver][limits]") {
  const Run run(cold_drinks());
  CHECK(run.limit.known_until == 48 * hour);
  CHECK_THAT(run.text, Catch::Contains("still holds at the end of the run (48.0 h)"));
}
