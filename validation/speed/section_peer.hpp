#pragma once

#include "speed/peer_march.hpp"

/// Sections marched by SUNDIALS with KLU and the matrix of `SectionMatrix`.
namespace thawline::validation {

/// CVODE: enthalpies of cells only. At each evaluation the surfaces are balanced by Newton's method
/// with a KLU-factored matrix of their own. The matrix of CVODE's Newton iteration is that of cells
/// and surfaces together, so that it stays sparse; the changes of surfaces it gives are the next
/// guess of their balance.
[[nodiscard]] Answer section_by_cvode(const Problem& problem, const PeerSettings& settings);

/// IDA: surfaces are algebraic equations beside the enthalpies.
[[nodiscard]] Answer section_by_ida(const Problem& problem, const PeerSettings& settings);

}  // namespace thawline::validation
