#pragma once

#include <string>

#include "cases/read_case.hpp"

namespace thawline::test {

/// A shipped example with `detail: 2d` at an accuracy of 0.05 K.
inline cases::Case example_section(const std::string& name) {
  const std::string root = THAWLINE_SOURCE_DIR;
  auto c = cases::read_case(root + "/cases/examples/" + name + ".yaml",
                            cases::read_material_folder(root + "/cases/materials"));
  c.run.detail = cases::Detail::two_d;
  c.run.accuracy = 0.05;
  return c;
}

}  // namespace thawline::test
