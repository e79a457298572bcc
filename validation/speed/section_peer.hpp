#pragma once

#include "speed/peer_integrators.hpp"

namespace thawline::validation {

/// A section marched by SUNDIALS IDA (BDF, order up to 5) with KLU: enthalpies of cells, and
/// surfaces as algebraic equations. The Jacobian is analytic: T'(H), conductances, and how the
/// resistances of melting cells follow their fronts. `tolerance` in K, by each cell's heat
/// capacity.
[[nodiscard]] Answer section_by_ida(const Problem& problem, double tolerance, double output_every);

}  // namespace thawline::validation
