#pragma once

#include "solver/heat/laws/link_heat.hpp"

namespace thawline::solver {

/// q = G (T_a − T_b), `conductance` G in W/K: contacts, films of given coefficient, and air that
/// carries ρ c_p V̇ (gaskets).
[[nodiscard]] inline LinkHeat conducted(double conductance, double a, double b) {
  return {conductance * (a - b), conductance, -conductance};
}

}  // namespace thawline::solver
