#pragma once

#include <H5Cpp.h>

#include <string>
#include <vector>

#include "cases/case.hpp"
#include "mesh/network.hpp"
#include "solver/results/run_case.hpp"

/// What stands in a history file beside its series, by LAYOUT.md.
namespace thawline::solver::history {

/// The layout of LAYOUT.md.
inline constexpr int layout_version = 3;

/// Names of the coolants, or of the payloads, in the order of their columns.
[[nodiscard]] std::vector<std::string> item_names(const mesh::Network& network, bool coolant);

/// Names of the probes in the order of their columns; `ambient` is the last.
[[nodiscard]] std::vector<std::string> probe_names(const mesh::Network& network);

/// All that is known before the first row. Throws H5::Exception.
void add_contents(H5::H5File& file, const cases::Case& c, const mesh::Network& network,
                  const std::string& started_utc);

/// What a completed run came to. Throws H5::Exception.
void add_answers(H5::H5File& file, const cases::Case& c, const mesh::Network& network,
                 const RunResult& result);

}  // namespace thawline::solver::history
