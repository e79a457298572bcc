#include <catch2/catch.hpp>

#include "cases/read_case.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;
using solver::Cause;

namespace {

const std::string root = THAWLINE_SOURCE_DIR;

const cases::MaterialShelf& shelf() {
  static const auto read = cases::read_material_folder(root + "/cases/materials");
  return read;
}

/// A foam box with a coolant and a block of food; `extra` are further keys.
std::string box(const std::string& coolant, const std::string& start, const std::string& limit,
                const std::string& extra = "", const std::string& air = "25 degC") {
  return R"(
title: a box
box:
  inside: {length: 40 cm, width: 30 cm, height: 30 cm}
  wall: [{material: eps, thickness: 30 mm}]
)" + (coolant.empty() ? "" : "coolant:\n  - " + coolant + "\n") +
         R"(payload:
  - {name: meal, contents: lean_beef, start: )" +
         start + R"(, stands_on: free, block: {amount: 3 kg, thickness: 50 mm}}
surroundings: {air: )" +
         air + R"(}
limits: [{name: cold, probe: meal, )" +
         limit + "}]\n" + extra + "run: {duration: 96 h}\n";
}

struct Told {
  solver::Ended ended;
  std::string sentence;
};

Told told(const std::string& yaml) {
  const auto c = cases::read_case_text(root + "/cases/examples/a-box.yaml", yaml, shelf());
  const auto network = mesh::build_network(c);
  const auto result = solver::run_network(c, network, {});
  REQUIRE(result.summary.completed);
  return {result.ended[0], ended_sentence(c, network, result.limits[0], result.ended[0])};
}

const std::string slab =
    "{name: slab, material: water_ice, amount: 2 kg, form: pack, thickness: 40 mm, place: lid, "
    "start: -5 degC}";

}  // namespace

TEST_CASE("what ended a hold time is told by its kind", "[solver][ended]") {
  const std::string ice =
      "{name: ice, material: water_ice, amount: 2 kg, form: loose, start: -1 degC}";
  struct Kind {
    Cause cause;
    std::string yaml, words;
  };
  const std::vector<Kind> kinds{
      {Cause::spent, box(ice, "2 degC", "not_above: 8 degC"), "'ice' was spent"},
      {Cause::started_too_warm, box(ice, "60 degC", "not_above: 3 degC"), "started too warm"},
      {Cause::out_of_reach, box(slab, "2 degC", "not_above: 5 degC"), "its film in the air"},
      {Cause::no_coolant, box("", "2 degC", "not_above: 5 degC"), "no coolant"},
      {Cause::melts_above, box(slab, "-15 degC", "not_above: -3 degC"), "no colder than the limit"},
      {Cause::taken_out,
       box(ice, "2 degC", "not_above: 8 degC", "happenings: [{at: 5 h, remove: ice}]\n"),
       "'ice' was taken out at 5.0 h"},
      {Cause::coolant_too_cold,
       box("{name: brine, material: nacl_eutectic, amount: 3 kg, form: pack, thickness: 40 mm, "
           "place: lid, start: -25 degC}",
           "2 degC", "not_below: 1 degC"),
       "'brine' was colder than the limit"},
      {Cause::cold_outside, box("", "4 degC", "not_below: 0 degC", "", "-10 degC"), "cold outside"},
      {Cause::started_too_cold, box("", "-8 degC", "not_below: 3 degC", "", "-10 degC"),
       "started too cold"},
  };
  for (const auto& kind : kinds) {
    const auto word = solver::cause_words()[static_cast<std::size_t>(kind.cause)];
    const Told t = told(kind.yaml);
    INFO(word << ": " << t.sentence);
    CHECK(solver::cause_words()[static_cast<std::size_t>(t.ended.cause)] == word);
    CHECK(t.sentence.find(kind.words) != std::string::npos);
  }
}

TEST_CASE("a lid and a warm spell are told by what comes back within", "[solver][ended]") {
  std::string opened =
      box(slab, "1 degC", "not_above: 12 degC", "happenings: [{at: 3 h, open_lid: 10 min}]\n");
  opened.replace(opened.find("probe: meal"), 11, "probe: air");
  const Told lid = told(opened);
  INFO(lid.sentence);
  CHECK(lid.ended.cause == Cause::opening);
  CHECK(lid.ended.when == 3 * 3600);
  std::string warm =
      box(slab, "1 degC", "not_above: 9 degC", "", "{mean: 18 degC, swing: 12 K, warmest_at: 8 h}");
  warm.replace(warm.find("probe: meal"), 11, "probe: air");
  const Told spell = told(warm);
  INFO(spell.sentence);
  CHECK(spell.ended.cause == Cause::weather);
  CHECK(spell.sentence.find("came back within") != std::string::npos);
}

TEST_CASE("goods put in warm end a hold time", "[solver][ended]") {
  const std::string two =
      box(slab, "2 degC", "not_above: 9 degC", "happenings: [{at: 6 h, add: late}]\n");
  std::string yaml = two;
  yaml.replace(yaml.find("surroundings:"), 0,
               "  - {name: late, contents: lean_beef, start: 20 degC, stands_on: free, block: "
               "{amount: 1 kg, thickness: 50 mm}}\n");
  yaml.replace(yaml.find("probe: meal"), 11, "probe: [meal, late]");
  const Told t = told(yaml);
  INFO(t.sentence);
  CHECK(t.ended.cause == Cause::put_in);
  CHECK(t.sentence.find("'late' was put in at 6.0 h") != std::string::npos);
}

TEST_CASE("drops on the way add up from the probe to the frozen part", "[solver][ended]") {
  for (const char* detail : {"1d", "2d"}) {
    std::string yaml = box(slab, "2 degC", "not_above: 5 degC");
    yaml.replace(yaml.find("{duration: 96 h}"), 16,
                 std::string("{duration: 96 h, detail: ") + detail + "}");
    const Told t = told(yaml);
    const auto& s = t.ended.situation;
    INFO(t.sentence);
    double sum = 0;
    for (const double drop : s.drops) sum += drop;
    CHECK(sum == Approx(s.probe_temperature - s.front).margin(1e-9));
    CHECK(s.largest() == solver::Resistance::film);
    CHECK(s.frozen > 0.05);
    CHECK(s.coolant_frozen == Approx(s.frozen));
  }
}

TEST_CASE("what still holds was ended by nothing", "[solver][ended]") {
  const Told t = told(box(slab, "2 degC", "not_above: 30 degC"));
  CHECK(t.ended.cause == Cause::nothing);
  CHECK(t.sentence.empty());
}
