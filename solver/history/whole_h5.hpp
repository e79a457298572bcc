#pragma once

#include <functional>
#include <string>

#include "solver/history/file_kind.hpp"
#include "solver/history/h5_file.hpp"

namespace thawline::solver::history {

/// Lets `fill` write an HDF5 file, marks it as one of `kind` in layout `version`, and gives it the
/// name `file` only when it is whole; until then nothing of that name is touched. Throws WriteError
/// with one sentence where it could not be written.
void write_whole_h5(const std::string& file, FileKind kind, int version,
                    const std::function<void(H5::H5File&)>& fill);

}  // namespace thawline::solver::history
