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

/// Adds every material of a case's own map `name: entry` to the shelf, in place of those of the
/// same name.
void read_materials(const Entry& map, MaterialShelf& shelf);

/// Adds every material of a material file, with its text; a name already there is an InputError.
void read_material_file(const SourceText& source, MaterialShelf& shelf);

/// The `*.yaml` files of a folder, by name; throws InputError when there is none.
[[nodiscard]] std::vector<std::string> material_files(const std::string& folder);

/// The YAML of one material of a folder, `NAME: {...}`; empty when there is none of this name.
[[nodiscard]] std::string material_as_written(const std::string& folder, const std::string& name);

/// Reads every `*.yaml` of a folder.
[[nodiscard]] MaterialShelf read_material_folder(const std::string& folder);

}  // namespace thawline::cases
