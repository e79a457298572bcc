#include "solver/program/shipped_materials.hpp"

#include <fmt/format.h>

#include <filesystem>

#include "cases/input_error.hpp"

namespace thawline::program {

std::string shipped_materials() {
  namespace fs = std::filesystem;
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error).parent_path();
  const fs::path installed = (program / THAWLINE_MATERIALS_FROM_PROGRAM).lexically_normal();
  const fs::path built = program / "share/thawline/materials";
  for (const auto& folder : {installed, built}) {
    if (fs::is_directory(folder, error)) return fs::canonical(folder).string();
  }
  throw cases::InputError(fmt::format(
      "the shipped materials are neither in '{}' nor in '{}'; name their folder with --materials",
      installed.string(), built.string()));
}

}  // namespace thawline::program
