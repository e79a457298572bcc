#include "speed/bench_cases.hpp"

#include <cstdlib>

namespace thawline::validation {

std::string sources() {
  const char* folder = std::getenv("THAWLINE_SOURCES");
  return folder != nullptr ? folder : ".";
}

const cases::MaterialShelf& shelf() {
  static const auto all = cases::read_material_folder(sources() + "/cases/materials");
  return all;
}

std::string file_of(const std::string& name) {
  return sources() + "/validation/cases/" + name + ".yaml";
}

cases::Case gel_box() {
  auto c = cases::read_case(file_of("gel-box"), shelf());
  c.run.accuracy = 0.05;
  return c;
}

}  // namespace thawline::validation
