#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>

#include "cases/input_error.hpp"
#include "cases/read_case.hpp"
#include "support/scratch_folder.hpp"

// What people write who know their trade and not this program.

using thawline::test::ScratchFolder;

namespace {

using namespace thawline::cases;

const std::string base = R"(title: box
box:
  inside: {length: 30 cm, width: 20 cm, height: 20 cm}
  wall: [{material: eps, thickness: 30 mm}]
coolant:
  - {name: ice, material: water_ice, amount: 500 g, form: pack, thickness: 20 mm, start: -10 degC}
payload:
  - name: drinks
    contents: cola
    cans: {count: 4, volume: 0.33 L, diameter: 66 mm, height: 115 mm}
    start: 3 degC
surroundings: {air: 4 degC}
run: {duration: 48 h}
)";

/// The base case with one text in place of another that stands in it once.
std::string with(const std::string& from, const std::string& to) {
  std::string text = base;
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  REQUIRE(text.find(from, at + 1) == std::string::npos);
  return text.replace(at, from.size(), to);
}

const MaterialShelf& shelf() {
  static const auto read =
      read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  return read;
}

/// What the reader says, empty when it is content.
std::string message(const std::string& text) {
  try {
    (void)read_case_text("case.yaml", text, shelf());
  } catch (const InputError& error) {
    return error.what();
  }
  return {};
}

/// Reads the base case in the air of `trace.csv`.
Case read_with_trace(const ScratchFolder& folder) {
  return read_case(folder.write("case.yaml", with("air: 4 degC", "air: {trace: trace.csv}")),
                   shelf());
}

std::string trace_message(const ScratchFolder& folder) {
  try {
    (void)read_with_trace(folder);
  } catch (const InputError& error) {
    return error.what();
  }
  return {};
}

}  // namespace

TEST_CASE("ounces of an amount are asked for", "[cases]") {
  for (const char* unit : {"oz", "ounce", "ounces"}) {
    CHECK_THAT(message(with("500 g", std::string("16 ") + unit)),
               Catch::StartsWith("case.yaml:6:46: coolant[1].amount: ") &&
                   Catch::Contains("may be a weight or a volume") && Catch::Contains("'453.6 g'") &&
                   Catch::Contains("'473.2 mL'"));
  }
  CHECK_THAT(message(with("500 g", "{count: 2, each: 8 oz}")), Catch::Contains("'226.8 g'"));
  CHECK(message(with("500 g", "16 avoirdupois_ounce")).empty());
  CHECK(message(with("500 g", "16 fluid_ounce")).empty());
  // Where only a volume can stand an ounce is one of volume.
  CHECK(message(with("volume: 0.33 L", "volume: 11 oz")).empty());
}

TEST_CASE("materials are found by what people call them", "[cases]") {
  const auto suggests = [](const char* said, const char* meant) {
    INFO(said);
    CHECK_THAT(message(with("material: eps", std::string("material: ") + said)),
               Catch::Contains(std::string("did you mean '") + meant + "'?"));
  };
  suggests("EPS", "eps");
  suggests("styrofoam", "eps");
  suggests("Styrofoam", "eps");
  suggests("PU-foam", "pu_foam");
  suggests("polyurethane", "pu_foam");
  suggests("aluminum", "aluminium");
  suggests("stainless steel", "stainless_steel");
  CHECK_THAT(message(with("material: eps", "material: unobtainium")),
             Catch::Contains("'thawline materials' lists them"));
}

TEST_CASE("a key at the wrong place is told where it belongs", "[cases]") {
  CHECK_THAT(message(with("payload:\n", "cans: {}\npayload:\n")),
             Catch::StartsWith("case.yaml:7:1: ") &&
                 Catch::Contains("unknown key 'cans' here; it belongs to a payload"));
  CHECK_THAT(message(with("surroundings: {air: 4 degC}",
                          "surroundings: {air: 4 degC, gasket_leak: 0.1 W/K}")),
             Catch::Contains("it belongs to 'box'"));
  CHECK_THAT(message(with("run: {duration: 48 h}", "run: {duration: 48 h, thickness: 3 mm}")),
             Catch::Contains("it belongs to a layer of a wall or a coolant or 'shell' of cans") ||
                 Catch::Contains("unknown key 'thickness'; the keys here are"));
  CHECK_THAT(message(with("title: box\n", "title: box\ncansss: 1\n")),
             Catch::Contains("unknown key 'cansss'; the keys here are"));
}

TEST_CASE("a decimal comma is told as one", "[cases]") {
  CHECK_THAT(message(with("length: 30 cm", "length: 30,5 cm")),
             Catch::StartsWith("case.yaml:3:23: ") && Catch::Contains("'5 cm'") &&
                 Catch::Contains("decimals take a point, as in '30.5 cm'"));
  CHECK_THAT(message(with("run: {duration: 48 h}", "run:\n  duration: 30,5 h")),
             Catch::Contains("decimals take a point"));
}

TEST_CASE("a can stands in the box", "[cases]") {
  CHECK_THAT(
      message(with("height: 115 mm", "height: 201 mm")),
      Catch::StartsWith("case.yaml:10:") &&
          Catch::Contains("a can 201 mm tall does not stand in the box, which is 200 mm high"));
  CHECK_THAT(message(with("diameter: 66 mm", "diameter: 210 mm")),
             Catch::Contains("a can 210 mm wide does not fit in the box, which is 200 mm wide"));
  CHECK(message(with("height: 115 mm", "height: 200 mm")).empty());
}

TEST_CASE("a pipe is no trace", "[cases]") {
  const ScratchFolder folder;
  REQUIRE(mkfifo(folder.path("trace.csv").c_str(), 0600) == 0);
  CHECK_THAT(trace_message(folder), Catch::StartsWith(folder.path("trace.csv")) &&
                                        Catch::Contains("is a pipe or a device"));
}

TEST_CASE("a trace that says nothing of the run is refused", "[cases]") {
  const ScratchFolder folder;
  (void)folder.write("trace.csv", "time [h], air [degC]\n48, 4\n60, 4\n");
  CHECK_THAT(trace_message(folder),
             Catch::StartsWith(folder.path("case.yaml:12:29: ")) &&
                 Catch::Contains("the trace begins at 48 h, and the run ends at 48 h"));
}

TEST_CASE("a trace that covers a part of the run is told", "[cases]") {
  const ScratchFolder folder;
  (void)folder.write("trace.csv", "time [h], air [degC]\n5, 4\n10, 4\n");
  const auto part = read_with_trace(folder);
  REQUIRE(part.notices.size() == 2);
  CHECK_THAT(part.notices[0], Catch::Contains("the trace begins at 5 h"));
  CHECK_THAT(part.notices[1], Catch::Contains("the trace ends at 10 h and the run at 48 h") &&
                                  Catch::Contains("'at least'"));
  (void)folder.write("trace.csv", "time [h], air [degC]\n0, 4\n48, 4\n");
  CHECK(read_with_trace(folder).notices.empty());
}
