#pragma once

#include <map>
#include <string>
#include <vector>

#include "cases/entry.hpp"
#include "cases/material.hpp"

namespace thawline::cases {

/// Materials by name.
using MaterialShelf = std::map<std::string, Material>;

/// Reads one material entry; throws InputError.
[[nodiscard]] Material read_material(const std::string& name, const Entry& entry);

/// Adds every material of a map `name: entry` to the shelf; a name already there is an InputError
/// unless `replace`.
void read_materials(const Entry& map, MaterialShelf& shelf, bool replace);

/// The `*.yaml` files of a folder, by name; throws InputError when there is none.
[[nodiscard]] std::vector<std::string> material_files(const std::string& folder);

/// The YAML of one material of a folder, `NAME: {...}`; empty when there is none of this name.
[[nodiscard]] std::string material_as_written(const std::string& folder, const std::string& name);

/// Reads every `*.yaml` of a folder.
[[nodiscard]] MaterialShelf read_material_folder(const std::string& folder);

}  // namespace thawline::cases
