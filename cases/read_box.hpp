#pragma once

#include "cases/case.hpp"
#include "cases/entry.hpp"
#include "cases/read_material.hpp"

namespace thawline::cases {

/// The material a `material:` or `contents:` entry names; an unknown name is an InputError with
/// the nearest one.
[[nodiscard]] Material find_material(const Entry& name, const MaterialShelf& shelf);

/// Reads the `box` map. Throws InputError.
[[nodiscard]] Box read_box(const Entry& entry, const MaterialShelf& shelf);

}  // namespace thawline::cases
