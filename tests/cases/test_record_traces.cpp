#include <stdlib.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>

#include "cases/case.hpp"
#include "cases/read_case.hpp"
#include "cases/read_material.hpp"
#include "cases/read_plan.hpp"
#include "cases/varied_case.hpp"
#include "support/scratch_folder.hpp"

using namespace thawline::cases;

using thawline::test::ScratchFolder;

namespace {

const std::string materials = std::string(THAWLINE_SOURCE_DIR) + "/cases/materials";

std::string case_in(const std::string& air) {
  return "title: box\nbox:\n  inside: {length: 30 cm, width: 20 cm, height: 20 cm}\n"
         "  wall: [{material: pu_foam, thickness: 20 mm}]\n"
         "payload: {name: fish, contents: fish_fillet, start: 2 degC,\n"
         "          block: {amount: 1 kg, thickness: 4 cm}}\n"
         "surroundings:\n  air: " +
         air + "\nrun: {duration: 1 h}\n";
}

/// Reads a case in `air` beside `log`.
Case read_in(const ScratchFolder& folder, const std::string& air, const std::string& log) {
  (void)folder.write("log.csv", log);
  return read_case(folder.write("case.yaml", case_in(air)), read_material_folder(materials));
}

std::string message_in(const ScratchFolder& folder, const std::string& air,
                       const std::string& log) {
  try {
    (void)read_in(folder, air, log);
  } catch (const InputError& error) {
    return error.what();
  }
  return "was read";
}

const Trace& trace_of(const Case& c) { return std::get<Trace>(c.surroundings.air); }

const std::string several =
    "when;box (\xB0"
    "C);room (\xB0"
    "C);damp (%RH)\n02/03/2026 14:00;4,5;20,5;50\n"
    "02/03/2026 14:30;---;21,5;51\n02/03/2026 15:00;5,5;22,5;52\n";

}  // namespace

TEST_CASE("a trace is read from a record as a logger exports it", "[cases][record]") {
  const ScratchFolder folder;
  const Case c = read_in(folder, "{trace: log.csv, channel: room, dates: day_first}", several);
  CHECK(trace_of(c).time == std::vector<double>{0, 1800, 3600});
  CHECK(trace_of(c).temperature.front() == Approx(293.65));
  CHECK(trace_of(c).channel == "room");
  CHECK(trace_of(c).starts == "2026-03-02 14:00:00");
  REQUIRE(c.notices.size() == 2);
  CHECK_THAT(c.notices[0], Catch::Contains("starts with the first row") &&
                               Catch::Contains("2026-03-02 14:00:00"));
  CHECK_THAT(c.notices[1], Catch::Contains("the day first, told by what was said"));
}

TEST_CASE("a record counted from the start keeps its count as a trace", "[cases][record]") {
  const ScratchFolder folder;
  const Case c = read_in(folder, "{trace: log.csv}", "time [min],air [degC]\n30,20\n60,21\n");
  CHECK(trace_of(c).time == std::vector<double>{1800, 3600});
}

TEST_CASE("which temperature is meant is asked for and checked", "[cases][record]") {
  const ScratchFolder folder;
  const std::string place = folder.path("case.yaml") + ":8:";
  CHECK_THAT(message_in(folder, "{trace: log.csv, dates: day_first}", several),
             Catch::StartsWith(place + "16: ") && Catch::Contains("has 2 temperatures") &&
                 Catch::Contains("'box', 'room'") && Catch::Contains("`channel:`"));
  CHECK_THAT(message_in(folder, "{trace: log.csv, dates: day_first, channel: rom}", several),
             Catch::StartsWith(place) && Catch::Contains("no temperature named 'rom'") &&
                 Catch::Contains("did you mean 'room'?"));
  CHECK_THAT(message_in(folder, "{trace: log.csv, dates: day_first, channel: outside}", several),
             Catch::Contains("there are 'box', 'room'"));
  CHECK_THAT(message_in(folder, "{trace: log.csv, dates: day_first, channel: damp}", several),
             Catch::Contains("no temperature named 'damp'"));
  CHECK_THAT(message_in(folder, "{trace: log.csv, channel: room, dates: english}", several),
             Catch::StartsWith(place) && Catch::Contains("day_first"));
  CHECK_THAT(message_in(folder, "{trace: log.csv, channel: room, hour_jumps: mend}", several),
             Catch::StartsWith(place) && Catch::Contains("taken_out"));
}

TEST_CASE("a trace tells its own mistakes", "[cases][record]") {
  const ScratchFolder folder;
  const std::string log = folder.path("log.csv");
  CHECK_THAT(message_in(folder, "{trace: log.csv, channel: room}", several),
             Catch::StartsWith(log + ":2:1: ") && Catch::Contains("`dates: day_first`"));
  CHECK_THAT(message_in(folder, "{trace: log.csv, channel: box, dates: day_first}", several),
             Catch::StartsWith(log + ":3:18: ") && Catch::Contains("a reading is missing here") &&
                 Catch::Contains("'---'"));
}

TEST_CASE("a clock that jumps is told with the case", "[cases][record]") {
  const ScratchFolder folder;
  const std::string jumping =
      "when,air (C)\n2026-03-29 01:40,4\n2026-03-29 01:50,5\n2026-03-29 03:00,6\n"
      "2026-03-29 03:10,7\n";
  const Case kept = read_in(folder, "{trace: log.csv}", jumping);
  CHECK(trace_of(kept).time.back() == 5400);
  REQUIRE(kept.notices.size() >= 2);
  CHECK_THAT(kept.notices[1], Catch::Contains("jumps ahead by an hour in line 4") &&
                                  Catch::Contains("kept as written"));
  const Case mended = read_in(folder, "{trace: log.csv, hour_jumps: taken_out}", jumping);
  CHECK(trace_of(mended).time.back() == 1800);
  CHECK_THAT(mended.notices[1], Catch::Contains("the hour is taken out"));
}

TEST_CASE("a plan varies the channel of a trace", "[cases][record]") {
  const ScratchFolder folder;
  (void)folder.write("log.csv", "time [min];left (C);right (C)\n0;4;20\n60;4;20\n");
  (void)folder.write("case.yaml", case_in("{trace: log.csv, channel: left}"));
  const std::string plan = folder.write(
      "plan.yaml",
      "title: two\ncase: case.yaml\nvary:\n  - {of: surroundings.air.channel, values: [left, "
      "right]}\n");
  const ReadPlan read = read_plan(plan, materials, [](const Coolant&, double) { return 0.0; });
  REQUIRE(read.library.traces.size() == 1);
  CHECK(read.library.traces.begin()->second.records.size() == 1);
}
