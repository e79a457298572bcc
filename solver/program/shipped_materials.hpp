#pragma once

#include <string>

namespace thawline::program {

/// Folder of the materials that come with the program: found from where the program lies, as
/// installed or in the build folder, so that an installation may be moved. Throws InputError,
/// naming the places, when there is none.
[[nodiscard]] std::string shipped_materials();

}  // namespace thawline::program
