#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "cases/read_case.hpp"
#include "cases/read_plan.hpp"

using namespace thawline::cases;
namespace fs = std::filesystem;

namespace {

const std::string materials = std::string(THAWLINE_SOURCE_DIR) + "/cases/materials";

/// A case with one text in the place of `@`.
std::string with(const std::string& place, const std::string& text) {
  std::string all = R"(title: @title
materials:
  @own:
    title: @own title
    density: {value: 30 kg/m3, source: "@source"}
    heat_capacity: {value: 1400 J/kg/K, valid: [-40 degC, 70 degC], source: own}
    conductivity: {value: 0.035 W/m/K, valid: [-40 degC, 70 degC], source: own}
box:
  inside: {length: 30 cm, width: 20 cm, height: 20 cm}
  wall: [{material: eps, thickness: 30 mm}]
coolant:
  - {name: @coolant, material: water_ice, amount: 500 g, form: pack, thickness: 20 mm,
     start: -10 degC}
payload:
  - {name: @payload, contents: cola, start: 4 degC,
     cans: {count: 4, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}
surroundings: {air: 30 degC}
limits: [{name: @limit, probe: air, not_above: 10 degC}]
run: {duration: 3 h}
)";
  for (const std::string name :
       {"@own title", "@title", "@own", "@source", "@coolant", "@payload", "@limit"}) {
    const auto at = all.find(name);
    REQUIRE(at != std::string::npos);
    all.replace(at, name.size(), name == place ? text : "x" + name.substr(1));
  }
  return all;
}

std::string message_of(const std::string& text) {
  try {
    (void)read_case_text("case.yaml", text, read_material_folder(materials));
  } catch (const InputError& error) {
    return error.what();
  }
  return {};
}

struct Control {
  const char* name;
  const char* escaped;
};

const std::vector<Control> controls{{"NUL", "a\\0b"},
                                    {"bell", "a\\ab"},
                                    {"escape sequence", "\\e[31mred"},
                                    {"carriage return", "a\\rb"},
                                    {"line feed", "a\\nb"},
                                    {"tab", "a\\tb"},
                                    {"DEL", "a\\x7fb"},
                                    {"C1 of a terminal", "a\\x9b31mb"},
                                    {"next line", "a\\Nb"},
                                    {"line separator", "a\\Lb"},
                                    {"right to left", "a\\u202eb"},
                                    {"isolated direction", "a\\u2066b"},
                                    {"no character", "a\\uffffb"}};

}  // namespace

TEST_CASE("control characters in titles and names are refused where they stand", "[cases]") {
  REQUIRE(message_of(with("@title", "plain")).empty());
  for (const std::string place :
       {"@title", "@own", "@own title", "@coolant", "@payload", "@limit"}) {
    for (const auto& control : controls) {
      INFO(place << ", " << control.name);
      const std::string text = with(place, std::string("\"") + control.escaped + "\"");
      const auto at = text.find(std::string("\"") + control.escaped);
      const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<long>(at), '\n');
      const auto column = at - (line == 1 ? 0 : text.rfind('\n', at) + 1) + 1;
      const std::string message = message_of(text);
      CHECK_THAT(message, Catch::StartsWith("case.yaml:" + std::to_string(line) + ":" +
                                            std::to_string(column) + ": "));
      CHECK((message.find("control character") != std::string::npos ||
             message.find("more than one line") != std::string::npos));
      CHECK(first_control(message.substr(0, message.find('\n'))) == std::string::npos);
    }
  }
}

TEST_CASE("texts of several lines are read where a sentence stands, not where a name does",
          "[cases]") {
  CHECK(message_of(with("@source", "two\\nlines\\tand a tab")).empty());
  CHECK_THAT(message_of(with("@source", "bell\\a")), Catch::Contains("control character"));
  const std::string folded = with("@title", ">\n  a long\n  title");
  CHECK(message_of(folded).empty());
  CHECK(read_case_text("case.yaml", folded, read_material_folder(materials)).title ==
        "a long title");
}

TEST_CASE("a letter of another script is no control character", "[cases]") {
  for (const char* name : {"Kühlbox", "保冷箱", "glacière – été", "“quoted”", "صندوق"}) {
    INFO(name);
    CHECK(message_of(with("@title", name)).empty());
  }
}

TEST_CASE("control characters in the names of a plan are refused where they stand", "[cases]") {
  const fs::path folder = fs::temp_directory_path() / "thawline-control-plan";
  fs::create_directories(folder);
  std::ofstream(folder / "case.yaml") << with("", "");
  const std::string file = (folder / "plan.yaml").string();
  const auto message = [&file](const std::string& title, const std::string& name) {
    std::ofstream(file) << "title: " << title << "\ncase: case.yaml\nvary:\n  - {of: "
                        << "box.wall.1.thickness, name: " << name << ", values: [20 mm, 30 mm]}\n";
    try {
      (void)read_plan(file, materials, [](const Coolant&, double) { return 0.0; });
    } catch (const InputError& error) {
      return std::string(error.what());
    }
    return std::string();
  };
  CHECK(message("foams", "wall").empty());
  for (const auto& control : controls) {
    INFO(control.name);
    const std::string text = std::string("\"") + control.escaped + "\"";
    CHECK_THAT(message(text, "wall"), Catch::StartsWith(file + ":1:8: "));
    CHECK_THAT(message("foams", text), Catch::StartsWith(file + ":4:38: "));
  }
  fs::remove_all(folder);
}

TEST_CASE("nothing of a foreign file that is named as a trace is shown", "[cases]") {
  const fs::path folder = fs::temp_directory_path() / "thawline-foreign-trace";
  fs::create_directories(folder);
  std::string text = with("", "");
  text.replace(text.find("air: 30 degC"), 12, "air: {trace: log.csv}");
  std::ofstream(folder / "case.yaml") << text;
  const std::vector<std::string> files{"root:x:0:0:root:/root:/bin/hush\nhush:x:1:1\n",
                                       "hush, hush\n1, 2\n",
                                       "[hush]\nuser = hush\n",
                                       "key [hush], hush [hush]\n1, 2\n",
                                       "hush [h], air [hush]\n0, 1\n",
                                       "hush [h]; air [degC]\n",
                                       "{\"hush\": 1, \"b\": 2}\n",
                                       "hush\n"};
  for (const auto& content : files) {
    INFO(content);
    std::ofstream(folder / "log.csv") << content;
    std::string message;
    try {
      (void)read_case((folder / "case.yaml").string(), read_material_folder(materials));
    } catch (const InputError& error) {
      message = error.what();
    }
    CHECK_THAT(message, Catch::StartsWith((folder / "log.csv").string() + ":1:"));
    CHECK(message.find("hush") == std::string::npos);
    CHECK(message.find('\n') == std::string::npos);
  }
  fs::remove_all(folder);
}
