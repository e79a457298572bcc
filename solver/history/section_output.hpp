#pragma once

#include <H5Cpp.h>

#include <string>
#include <vector>

#include "mesh/network.hpp"

namespace thawline::solver::history {

/// Surface hubs of the grid, in the order of their faces.
[[nodiscard]] std::vector<int> surface_hubs(const mesh::Network& network);

/// Writes /grid/section, /grid/surface and /grid/region of LAYOUT.md.
void add_section_grid(H5::Group& grid, const mesh::Network& network);

/// The XDMF text by which general viewers open the fields of a history file lying beside it, at
/// the given instants (s).
[[nodiscard]] std::string xdmf_of(const std::string& history_file, const mesh::Network& network,
                                  const std::vector<double>& times);

}  // namespace thawline::solver::history
