#include "solver/heat/laws/link_law.hpp"

#include "solver/heat/laws/air_layers_law.hpp"
#include "solver/heat/laws/conductance_law.hpp"
#include "solver/heat/laws/convection_law.hpp"
#include "solver/heat/laws/drink_film_law.hpp"
#include "solver/heat/laws/opening_law.hpp"
#include "solver/heat/laws/radiation_law.hpp"

namespace thawline::solver {

LinkHeat link_heat(const mesh::Link& link, double a, double b, const Conditions& conditions) {
  switch (link.law) {
    case mesh::Law::conductance:
    case mesh::Law::gasket:
      return conducted(link.conductance, a, b);
    case mesh::Law::radiation:
      return radiated(link.area, a, b);
    case mesh::Law::convection:
      return convected(link.facing, link.area, link.length, a, b);
    case mesh::Law::air_layers:
      return layered(link.conductance, link.mixing, a, b);
    case mesh::Law::drink_film:
      return convected_in_can(link.area, link.length, link.diameter, a, b);
    case mesh::Law::opening:
      return let_through(link.conductance, link.area, conditions.open_air_changes, a, b);
  }
  return {};
}

}  // namespace thawline::solver
