#pragma once

#include "cases/read_material.hpp"

namespace thawline::fuzz {

/// Those of the shipped materials that the corpus names, read once: the reader takes a copy of all
/// it is given, and fewer make it faster.
inline const cases::MaterialShelf& material_shelf() {
  static const auto shelf = [] {
    const auto all = cases::read_material_folder(THAWLINE_MATERIALS);
    cases::MaterialShelf few;
    for (const char* name :
         {"aluminium", "cola", "eps", "fish_fillet", "glass", "hdpe", "milk", "nacl_brine_10",
          "nacl_eutectic", "plywood", "pu_foam", "water_ice", "xps"}) {
      few[name] = all.at(name);
    }
    return few;
  }();
  return shelf;
}

}  // namespace thawline::fuzz
