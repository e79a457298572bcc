#include "cases/suggestions.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>
#include <map>

#include "cases/input_error.hpp"
#include "cases/keys.hpp"

namespace thawline::cases {

namespace {

std::string lower(std::string word) {
  for (char& c : word) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return word;
}

/// What people say, and the shipped material it is.
const std::map<std::string, std::string>& trade_words() {
  static const std::map<std::string, std::string> words{
      {"styrofoam", "eps"},
      {"polystyrene", "eps"},
      {"expanded polystyrene", "eps"},
      {"bead foam", "eps"},
      {"extruded polystyrene", "xps"},
      {"pu", "pu_foam"},
      {"pur", "pu_foam"},
      {"pir", "pu_foam"},
      {"polyurethane", "pu_foam"},
      {"foam", "pu_foam"},
      {"vip", "vip_fumed_silica"},
      {"vacuum panel", "vip_fumed_silica"},
      {"plastic", "hdpe"},
      {"polyethylene", "hdpe"},
      {"pe", "hdpe"},
      {"polypropylene", "pp"},
      {"aluminum", "aluminium"},
      {"metal", "steel"},
      {"inox", "stainless_steel"},
      {"wood", "softwood"},
      {"cork", "expanded_cork"},
      {"wool", "wool_felt"},
      {"rubber", "epdm"},
      {"carton", "cardboard"},
      {"ice", "water_ice"},
      {"water", "water_drink"},
      {"gel", "gel_pack"},
      {"ice pack", "gel_pack"},
      {"brine", "nacl_eutectic"},
      {"salt water", "nacl_eutectic"},
      {"soda", "cola"},
      {"soft drink", "cola"},
      {"lemonade", "cola"},
      {"beer", "beer_5"},
      {"wine", "wine_12"},
      {"spirits", "spirit_40"},
      {"juice", "orange_juice"},
      {"beef", "lean_beef"},
      {"meat", "lean_beef"},
      {"chicken", "chicken_meat"},
      {"fish", "fish_fillet"},
      {"cheese", "hard_cheese"},
      {"rice", "cooked_rice"},
      {"vegetables", "carrot"},
      {"fruit", "apple"},
  };
  return words;
}

/// The maps of a case as a person would call them.
const std::map<std::string, std::string>& place_names() {
  static const std::map<std::string, std::string> names{
      {"case", "the case itself"},
      {"box", "'box'"},
      {"rectangular_inside", "'inside' of the box"},
      {"round_inside", "'inside' of the box"},
      {"solid_layer", "a layer of a wall"},
      {"gap_layer", "a layer of a wall"},
      {"coolant", "a coolant"},
      {"amount_by_count", "an amount"},
      {"contact", "'contact' of a coolant"},
      {"payload", "a payload"},
      {"cans", "'cans' of a payload"},
      {"shell", "'shell' of cans"},
      {"block", "'block' of a payload"},
      {"surroundings", "'surroundings'"},
      {"daily_wave", "'air' of the surroundings"},
      {"trace", "'air' of the surroundings"},
      {"stands_on", "'stands_on' of the surroundings"},
      {"open_lid", "a happening"},
      {"add", "a happening"},
      {"remove", "a happening"},
      {"limit", "a limit"},
      {"run", "'run'"},
      {"section", "'section' of the run"},
  };
  return names;
}

}  // namespace

std::string material_meant(const std::string& word, const std::vector<std::string>& names) {
  std::string said = lower(word);
  std::replace(said.begin(), said.end(), '_', ' ');
  const auto found = trade_words().find(said);
  if (found != trade_words().end() &&
      std::find(names.begin(), names.end(), found->second) != names.end()) {
    return found->second;
  }
  return nearest(word, names);
}

std::string place_of_key(const std::string& key) {
  constexpr std::size_t most = 3;
  std::vector<std::string> places;
  for (const auto& set : case_keys()) {
    const auto place = place_names().find(set.map);
    if (place == place_names().end()) continue;
    const auto has = [&key](const std::vector<std::string>& keys) {
      return std::find(keys.begin(), keys.end(), key) != keys.end();
    };
    if (!has(set.required) && !has(set.optional)) continue;
    if (std::find(places.begin(), places.end(), place->second) == places.end()) {
      places.push_back(place->second);
    }
  }
  return places.size() > most ? "" : fmt::format("{}", fmt::join(places, " or "));
}

}  // namespace thawline::cases
