#pragma once

#include <H5Cpp.h>

#include "solver/batch/spread.hpp"

namespace thawline::solver::batch {

/// Writes the group `/spread` of a table (see TABLE.md). Throws H5::Exception.
void write_spread(H5::H5File& file, const Spread& spread);

}  // namespace thawline::solver::batch
