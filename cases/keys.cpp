#include "cases/keys.hpp"

#include <algorithm>
#include <stdexcept>

namespace thawline::cases {

const std::vector<KeySet>& case_keys() {
  static const std::vector<KeySet> keys{
      {"case",
       {"title", "box", "surroundings", "run"},
       {"materials", "coolant", "payload", "happenings", "limits"}},
      {"box",
       {"inside", "wall"},
       {"lid", "base", "liner_gap", "gasket_leak", "gasket_air_changes", "inside_emissivity",
        "outside_emissivity", "inside_coefficient"}},
      {"rectangular_inside", {"length", "width", "height"}, {}},
      {"round_inside", {"diameter", "height"}, {}},
      {"solid_layer", {"material", "thickness"}, {}},
      {"gap_layer", {"air_gap"}, {"emissivity"}},
      {"coolant",
       {"material", "amount", "form"},
       {"name", "thickness", "stacked", "place", "start", "start_liquid_fraction", "melt_water",
        "liquid_mixing", "contact", "pieces"}},
      {"amount_by_count", {"count", "each"}, {}},
      {"amount_by_displacement", {"displaces"}, {}},
      {"amount_by_bulk", {"bulk"}, {}},
      {"pieces", {"each"}, {}},
      {"freezer", {"in", "for"}, {"from", "coefficient"}},
      {"contact", {}, {"coefficient", "area"}},
      {"payload",
       {"contents", "start"},
       {"name", "cans", "block", "liquid_mixing", "stands_on", "leans_on", "contact"}},
      {"cans", {"count", "volume", "diameter", "height"}, {"shell", "detail"}},
      {"shell", {"material", "thickness"}, {}},
      {"block", {"amount", "thickness"}, {}},
      {"surroundings",
       {"air"},
       {"wind", "outside_coefficient", "long_wave", "stands_on", "sun", "humidity"}},
      {"daily_wave", {"mean", "swing", "warmest_at"}, {}},
      {"trace", {"trace"}, {"channel", "dates", "hour_jumps"}},
      {"stands_on", {}, {"coefficient", "temperature"}},
      {"open_lid", {"at", "open_lid"}, {"air_changes"}},
      {"add", {"at", "add"}, {}},
      {"remove", {"at", "remove"}, {}},
      {"limit", {"probe"}, {"name", "not_above", "not_below", "logger_error"}},
      {"run", {"duration"}, {"detail", "accuracy", "output_every", "fields", "section"}},
      {"section", {}, {"fineness", "most_cells", "air_conductivity"}},
      {"material",
       {"title", "density", "heat_capacity", "conductivity"},
       {"uses", "density_liquid", "melting", "emissivity", "note"}},
      {"by_phase", {"solid", "liquid"}, {}},
      {"constant", {"value", "source"}, {"valid"}},
      {"table", {"table", "source"}, {}},
      {"sharp", {"law", "point", "latent_heat"}, {}},
      {"range", {"law", "solidus", "liquidus", "latent_heat"}, {}},
      {"lever",
       {"law", "composition", "eutectic_point", "eutectic_composition", "eutectic_latent_heat",
        "latent_heat", "liquidus"},
       {}},
      {"dilute", {"law", "freezing_point", "water", "latent_heat", "floor"}, {}},
      {"enthalpy_table", {"law", "enthalpy"}, {}},
  };
  return keys;
}

const std::vector<KeySet>& plan_keys() {
  static const std::vector<KeySet> keys{
      {"plan", {"title", "case"}, {"vary", "compare", "tolerances", "find", "histories"}},
      {"varied_values", {"of", "values"}, {"name"}},
      {"varied_range", {"of", "from", "to", "steps"}, {"name"}},
      {"together", {"together"}, {}},
      {"compare", {"of", "equal", "contenders"}, {"name", "amount", "freezer", "until"}},
      {"contender",
       {},
       {"name", "price", "material", "form", "thickness", "stacked", "place", "start",
        "start_liquid_fraction", "melt_water", "liquid_mixing", "contact", "pieces"}},
      {"find", {"of", "from", "to", "hold"}, {"name", "limit", "to_within"}},
      {"tolerances", {"samples"}, {"inputs", "fitted", "seed", "ranking"}},
      {"normal", {"of", "normal"}, {"name"}},
      {"within", {"of", "within"}, {"name"}},
      {"between", {"of", "between"}, {"name"}},
  };
  return keys;
}

const std::vector<KeySet>& trial_keys() {
  static const std::vector<KeySet> keys{
      {"trial", {"title", "case", "records"}, {"fit", "verdict"}},
      {"test_record",
       {"file", "channels"},
       {"name", "dates", "hour_jumps", "packed_at", "packed_within", "bridge", "set", "leave_out",
        "weighed", "known_heat"}},
      {"set", {"of", "value"}, {}},
      {"measured_channel", {"channel", "is"}, {"offset", "offset_spread"}},
      {"left_out", {"from", "to", "why"}, {"channels"}},
      {"weighed", {"of", "at", "melted", "spread"}, {}},
      {"known_heat", {"until", "came_in", "spread"}, {}},
      {"fit", {"free"}, {"starts"}},
      {"free", {"of", "from", "to"}, {"name", "each_record", "known"}},
      {"known", {"mean", "spread"}, {}},
      {"verdict", {"between", "coolant"}, {"limit"}},
  };
  return keys;
}

const KeySet& keys_of(const std::string& map) {
  for (const auto* all : {&case_keys(), &plan_keys(), &trial_keys()}) {
    const auto found = std::find_if(all->begin(), all->end(),
                                    [&map](const KeySet& set) { return set.map == map; });
    if (found != all->end()) return *found;
  }
  throw std::logic_error("no such key set: " + map);
}

}  // namespace thawline::cases
