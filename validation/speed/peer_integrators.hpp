#pragma once

#include "speed/peer_march.hpp"

/// The library's cells and links in columns marched by SUNDIALS, with the library's own Jacobian
/// and bordered solve in place of SUNDIALS' matrices, so that only the march differs.
namespace thawline::validation {

/// CVODE (BDF, order up to 5): enthalpies of cells only; at each evaluation the surfaces, which
/// have no heat capacity, are balanced first.
[[nodiscard]] Answer by_cvode(const Problem& problem, const PeerSettings& settings);

/// IDA (BDF, order up to 5): surfaces are algebraic equations beside the enthalpies.
[[nodiscard]] Answer by_ida(const Problem& problem, const PeerSettings& settings);

}  // namespace thawline::validation
