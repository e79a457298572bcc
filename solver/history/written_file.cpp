#include "solver/history/written_file.hpp"

#include <fmt/format.h>

#include <cstdio>

namespace thawline::solver::history {

void give_name(const std::string& temporary, const std::string& file) {
  if (std::rename(temporary.c_str(), file.c_str()) != 0) {
    throw WriteError(fmt::format("{}: cannot be given its name", file));
  }
}

}  // namespace thawline::solver::history
