#include "cases/read_contents.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "cases/read_box.hpp"

namespace thawline::cases {

namespace {

constexpr Range any_mass{1e-4, 5000};
constexpr Range any_volume{1e-7, 20};
constexpr Range start_temperature{73.15, 373.15};
constexpr Range mixing{1, 50};

/// Contact across about 1 mm of trapped air with long-wave exchange (0.025/0.001 + 4 W/m2/K);
/// common practice, no source.
constexpr double default_contact = 29;
/// Wet contact of ice in its melt water; order of free convection in water, from memory.
constexpr double wet_contact = 200;
/// The same of cans and goods that stand in it: canned drinks in iced water, Y. A. Cengel and A. J.
/// Ghajar, Heat and Mass Transfer, 5th ed., ch. 4 (worked problem).
constexpr double wet_contact_of_contents = 120;

double read_amount(const Entry& entry, double density) {
  if (entry.is_map()) {
    entry.check_keys("amount_by_count");
    const int count = entry.at("count").whole_number(1, 10000);
    return count * read_amount(entry.at("each"), density);
  }
  const std::string text = entry.text();
  if (const auto doubt = which_ounces(text)) entry.fail(*doubt, Mistake::form);
  const Quantity as_mass = read_quantity(text, dimension::mass);
  if (as_mass.problem.empty()) return entry.quantity(dimension::mass, any_mass);
  const Quantity as_volume = read_quantity(text, dimension::volume);
  if (as_volume.problem.empty()) return density * entry.quantity(dimension::volume, any_volume);
  entry.fail(fmt::format("'{}' is neither a mass nor a volume with its unit; write '6 kg', '5 L' "
                         "or {{count: 4, each: 500 g}}",
                         shortened(text)),
             Mistake::form);
}

/// By mass, volume, count, `displaces:` or, of loose pieces, `bulk:` with their voids.
double read_coolant_amount(const Entry& entry, const Material& material, bool loose) {
  if (entry.is_map() && entry.has("displaces")) {
    entry.check_keys("amount_by_displacement");
    return material.density * entry.at("displaces").quantity(dimension::volume, any_volume);
  }
  if (entry.is_map() && entry.has("bulk")) {
    entry.check_keys("amount_by_bulk");
    if (!loose) entry.at("bulk").fail("only loose pieces have a bulk, with the voids between them");
    return loose_packing * material.density *
           entry.at("bulk").quantity(dimension::volume, any_volume);
  }
  return read_amount(entry, material.density);
}

/// Whole pieces, as many as come nearest to the amount.
void read_pieces(const Entry& entry, Coolant& coolant) {
  entry.check_keys("pieces");
  coolant.pieces = Pieces{read_amount(entry.at("each"), coolant.material.density), 0, 0};
  take_whole_pieces(coolant, coolant.mass);
}

/// In a freezer in still air: free convection and radiation, common practice, no source.
constexpr double default_freezer_film = 10;
constexpr double room_temperature = 293.15;

/// `start: {in: -18 degC, for: 48 h}`.
void read_freezing(const Entry& entry, Coolant& coolant) {
  entry.check_keys("freezer");
  Freezing freezing;
  freezing.air = entry.at("in").quantity(dimension::temperature, start_temperature);
  freezing.duration = entry.at("for").quantity(dimension::time, {1, 366 * 86400.0});
  freezing.from = room_temperature;
  freezing.coefficient = default_freezer_film;
  if (const auto from = entry.find("from")) {
    freezing.from = from->quantity(dimension::temperature, start_temperature);
  }
  if (const auto film = entry.find("coefficient")) {
    freezing.coefficient = film->quantity(dimension::coefficient, {0.5, 1e4});
  }
  coolant.freezing = freezing;
  coolant.start = freezing.air;  // until it is worked out
}

/// How thick that is which freezes by itself.
void read_freezing_thickness(const Entry& entry, int layers, Coolant& coolant) {
  if (!coolant.freezing) return;
  if (coolant.form == CoolantForm::pack) {
    coolant.freezing->thickness = coolant.thickness / layers;
    return;
  }
  if (!coolant.pieces) {
    entry.at("start").fail(
        "how loose pieces freeze depends on their size; add 'pieces: {each: 10 mL}'");
  }
  const double volume = coolant.pieces->each / coolant.material.density;
  coolant.freezing->thickness = std::cbrt(6 * volume / std::numbers::pi) / 3;
}

Place place_named(const std::string& word) {
  if (word == "floor") return Place::floor;
  if (word == "lid") return Place::lid;
  if (word == "sides") return Place::sides;
  if (word == "around_payload") return Place::around_payload;
  return Place::free;
}

double smallest_inside(const Box& box) {
  if (const auto* r = std::get_if<RectangularInside>(&box.inside)) {
    return std::min({r->length, r->width, r->height});
  }
  const auto& round = std::get<RoundInside>(box.inside);
  return std::min(round.diameter, round.height);
}

/// Across the floor, m.
double narrowest_inside(const Box& box) {
  if (const auto* r = std::get_if<RectangularInside>(&box.inside)) {
    return std::min(r->length, r->width);
  }
  return std::get<RoundInside>(box.inside).diameter;
}

double largest_inside(const Box& box) {
  if (const auto* r = std::get_if<RectangularInside>(&box.inside)) {
    return std::max({r->length, r->width, r->height});
  }
  const auto& round = std::get<RoundInside>(box.inside);
  return std::max(round.diameter, round.height);
}

void check_pack_fits(const Entry& entry, const Coolant& coolant, const Box& box) {
  if (coolant.thickness > smallest_inside(box)) {
    entry.fail(fmt::format("the pack is {:.0f} mm thick and does not fit in the box",
                           1e3 * coolant.thickness));
  }
  const double area = volume_of(coolant) / coolant.thickness;
  const double room =
      coolant.place == Place::sides ? inside_side_area(box) : inside_floor_area(box);
  if (lies_on_wall(coolant) && area > room * (1 + 1e-9)) {
    entry.fail(
        fmt::format("lying flat this coolant takes {:.4f} m2 and there are {:.4f} m2; "
                    "stack it ('stacked: 2') or make it thicker",
                    area, room));
  }
}

void read_start(const Entry& entry, Coolant& coolant) {
  const double liquidus = liquidus_of(coolant.material);
  const auto start = entry.find("start");
  const auto fraction = entry.find("start_liquid_fraction");
  if (start && fraction) {
    fraction->fail("give either 'start' or 'start_liquid_fraction', not both");
  }
  if (fraction) {
    if (!coolant.material.melts()) fraction->fail("this material does not melt");
    coolant.start_liquid_fraction = fraction->number({0, 1});
    coolant.start = liquidus;
    return;
  }
  if (!start) entry.fail("the key 'start' is missing (or 'start_liquid_fraction')");
  if (start->is_map()) {
    read_freezing(*start, coolant);
    return;
  }
  coolant.start = start->quantity(dimension::temperature, start_temperature);
  if (coolant.material.melts() && coolant.start > liquidus) {
    start->fail(
        fmt::format("warmer than the melting point of {} ({:.1f} degC): it starts all "
                    "liquid; if that is meant, write 'start_liquid_fraction: 1'",
                    coolant.material.name, liquidus - 273.15));
  }
}

/// Of a coolant, or of contents with what they stand on: W/m2/K and m2, left as they are where the
/// entry does not say.
void read_contact(const Entry& entry, double& coefficient, std::optional<double>& area) {
  entry.check_keys("contact");
  if (const auto h = entry.find("coefficient")) {
    coefficient = h->quantity(dimension::coefficient, {0.1, 1e4});
  }
  if (const auto a = entry.find("area")) area = a->quantity(dimension::area, {1e-6, 100});
}

}  // namespace

Coolant read_coolant(const Entry& entry, const MaterialShelf& shelf, const Box& box) {
  entry.check_keys("coolant");
  Coolant coolant;
  coolant.material = find_material(entry.at("material"), shelf);
  coolant.name = entry.has("name") ? entry.at("name").line() : coolant.material.name;
  const std::string form = entry.at("form").one_of({"loose", "pack", "sheet"});
  coolant.form = form == "loose" ? CoolantForm::loose : CoolantForm::pack;
  const bool loose = coolant.form == CoolantForm::loose;
  coolant.mass = read_coolant_amount(entry.at("amount"), coolant.material, loose);
  if (const auto pieces = entry.find("pieces")) read_pieces(*pieces, coolant);
  coolant.place = loose ? Place::around_payload : Place::floor;
  if (const auto place = entry.find("place")) {
    coolant.place = place_named(place->one_of({"floor", "lid", "sides", "around_payload", "free"}));
    if (loose && coolant.place != Place::floor && coolant.place != Place::around_payload) {
      place->fail(
          "a loose coolant lies on the floor: 'floor' (under the payload) or "
          "'around_payload'");
    }
  }
  if (const auto melt = entry.find("melt_water")) {
    if (!loose) melt->fail("only a loose coolant can lose its melt water");
    coolant.melt_water =
        melt->one_of({"kept", "drained"}) == "kept" ? MeltWater::kept : MeltWater::drained;
    if (coolant.melt_water == MeltWater::drained &&
        !std::holds_alternative<SharpMelting>(coolant.material.melting)) {
      melt->fail("draining is modelled for a coolant with one melting point only");
    }
  }
  if (const auto mix = entry.find("liquid_mixing")) coolant.liquid_mixing = mix->number(mixing);
  coolant.contact.coefficient = loose ? wet_contact : default_contact;
  coolant.contact.of_contents = wet_contact_of_contents;
  if (const auto contact = entry.find("contact")) {
    read_contact(*contact, coolant.contact.coefficient, coolant.contact.area);
    if (contact->has("coefficient")) coolant.contact.of_contents = coolant.contact.coefficient;
  }
  read_start(entry, coolant);
  if (loose) {
    for (const char* key : {"thickness", "stacked"}) {
      if (const auto found = entry.find(key)) found->fail("a loose coolant has no thickness");
    }
    read_freezing_thickness(entry, 1, coolant);
    return coolant;
  }
  coolant.thickness = entry.at("thickness").quantity(dimension::length, {5e-4, 1});
  int layers = 1;
  if (const auto stacked = entry.find("stacked")) layers = stacked->whole_number(1, 100);
  coolant.thickness *= layers;
  read_freezing_thickness(entry, layers, coolant);
  check_pack_fits(entry, coolant, box);
  return coolant;
}

namespace {

Cans read_cans(const Entry& entry, const MaterialShelf& shelf, const Box& box) {
  entry.check_keys("cans");
  Cans cans;
  cans.count = entry.at("count").whole_number(1, 100000);
  cans.volume = entry.at("volume").quantity(dimension::volume, {1e-6, 1});
  cans.diameter = entry.at("diameter").quantity(dimension::length, {5e-3, 2});
  cans.height = entry.at("height").quantity(dimension::length, {5e-3, 2});
  const double outside = std::numbers::pi / 4 * cans.diameter * cans.diameter * cans.height;
  if (cans.volume > outside) {
    entry.at("volume").fail(
        fmt::format("is more than the can holds by its outside size ({:.3f} L)", 1e3 * outside));
  }
  if (cans.diameter > narrowest_inside(box)) {
    entry.at("diameter")
        .fail(
            fmt::format("a can {:g} mm wide does not fit in the box, which is {:g} mm wide inside",
                        1e3 * cans.diameter, 1e3 * narrowest_inside(box)));
  }
  if (cans.height > inside_height(box)) {
    entry.at("height").fail(
        fmt::format("a can {:g} mm tall does not stand in the box, which is {:g} mm high inside",
                    1e3 * cans.height, 1e3 * inside_height(box)));
  }
  if (const auto shell = entry.find("shell")) {
    shell->check_keys("shell");
    cans.shell = find_material(shell->at("material"), shelf);
    if (cans.shell->melts()) shell->at("material").fail("a shell can't melt");
    cans.shell_thickness = shell->at("thickness").quantity(dimension::length, {1e-5, 0.05});
  }
  if (const auto detail = entry.find("detail")) {
    cans.radial = detail->one_of({"lumped", "radial"}) == "radial";
  }
  return cans;
}

}  // namespace

namespace {

Support read_support(const Entry& entry, const std::vector<Coolant>& coolants) {
  Support support;
  support.coefficient = default_contact;
  if (const auto on = entry.find("stands_on")) {
    std::vector<std::string> words{"base", "free"};
    for (const auto& coolant : coolants) {
      if (coolant.form == CoolantForm::pack && coolant.place == Place::floor) {
        words.push_back(coolant.name);
      }
    }
    const std::string word = on->one_of(words);
    if (word == "base") {
      support.on = Support::On::base;
    } else if (word == "free") {
      support.on = Support::On::nothing;
    } else {
      support.on = Support::On::pack;
      support.pack = word;
    }
  }
  const auto contact = entry.find("contact");
  if (!contact) return support;
  if (support.on == Support::On::nothing) contact->fail("what is held 'free' touches nothing");
  read_contact(*contact, support.coefficient, support.area);
  return support;
}

/// A block in a box it fills from wall to wall.
void read_leaning(const Entry& entry, const std::vector<Coolant>& coolants, Support& support) {
  support.leans = entry.one_of({"walls", "nothing"}) == "walls";
  if (!support.leans) return;
  if (support.on == Support::On::nothing) entry.fail("what is held 'free' touches nothing");
  for (const auto& coolant : coolants) {
    if (coolant.form == CoolantForm::loose) {
      entry.fail(fmt::format("does not go with loose coolant ('{}'), which has its own contact",
                             shortened(coolant.name)));
    }
  }
}

}  // namespace

Payload read_payload(const Entry& entry, const MaterialShelf& shelf, const Box& box,
                     const std::vector<Coolant>& coolants) {
  entry.check_keys("payload");
  Payload payload;
  payload.contents = find_material(entry.at("contents"), shelf);
  payload.name = entry.has("name") ? entry.at("name").line() : payload.contents.name;
  payload.start = entry.at("start").quantity(dimension::temperature, start_temperature);
  if (const auto mix = entry.find("liquid_mixing")) payload.liquid_mixing = mix->number(mixing);
  payload.stands = read_support(entry, coolants);
  const auto cans = entry.find("cans");
  const auto block = entry.find("block");
  if (cans.has_value() == block.has_value()) entry.fail("needs either 'cans' or 'block'");
  if (cans) {
    if (const auto leans = entry.find("leans_on")) leans->fail("only a block leans on walls");
    payload.body = read_cans(*cans, shelf, box);
    return payload;
  }
  if (const auto leans = entry.find("leans_on")) read_leaning(*leans, coolants, payload.stands);
  block->check_keys("block");
  FoodBlock food;
  food.mass = read_amount(block->at("amount"), payload.contents.density);
  food.thickness = block->at("thickness").quantity(dimension::length, {1e-3, 2});
  if (food.thickness > largest_inside(box)) {
    block->at("thickness").fail("a block of this thickness does not fit in the box");
  }
  payload.body = food;
  return payload;
}

}  // namespace thawline::cases
