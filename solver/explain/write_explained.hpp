#pragma once

#include <string>

#include "solver/explain/explain.hpp"

namespace thawline::solver::explain {

inline constexpr int explained_version = 1;

/// Refuses a name that belongs to anything else. Throws WriteError.
void check_explained_name(const std::string& file);

/// Writes a difference shared out (HDF5, layout in EXPLAINED.md). Throws WriteError.
void write_explained(const std::string& file, const Explained& explained);

}  // namespace thawline::solver::explain
