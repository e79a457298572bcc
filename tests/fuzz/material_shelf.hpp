#pragma once

#include "cases/read_material.hpp"

namespace thawline::fuzz {

/// The shipped materials, read once.
inline const cases::MaterialShelf& material_shelf() {
  static const auto shelf = cases::read_material_folder(THAWLINE_MATERIALS);
  return shelf;
}

}  // namespace thawline::fuzz
