#include <algorithm>
#include <array>
#include <cmath>
#include <iostream>
#include <random>

#include "cases/choose_detail.hpp"
#include "cases/input_error.hpp"
#include "cases/read_material.hpp"
#include "library_json.hpp"
#include "solver/results/probes.hpp"
#include "solver/results/run_case.hpp"

// The detail that is chosen for a case against the finest, on random boxes of all places and forms.
// Usage: default_detail MATERIAL_FOLDER FIRST COUNT. Each box is computed three times: in the
// chosen detail, as columns and as a section at 0.05 K; the answers of box FIRST to FIRST + COUNT -
// 1 go to standard output as JSON, one box a line. Box i is the same whatever the others.

using namespace thawline;
using validation::json;

namespace {

constexpr double zero = 273.15, hour = 3600;

class Draw {
 public:
  explicit Draw(unsigned seed) : engine_(seed) { engine_.discard(8); }
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(engine_() >> 11U) / 9007199254740992.0;
  }
  bool chance(double p) { return between(0, 1) < p; }
  std::size_t one_of(std::size_t n) {
    return std::min(n - 1, static_cast<std::size_t>(between(0, static_cast<double>(n))));
  }

 private:
  std::mt19937_64 engine_;
};

cases::Wall wall(Draw& draw, const cases::MaterialShelf& shelf) {
  const std::array foams{"eps", "xps", "pu_foam"};
  cases::Wall made{cases::SolidLayer{shelf.at(foams[draw.one_of(3)]), draw.between(0.015, 0.08)}};
  const double kind = draw.between(0, 1);
  if (kind < 0.4) {
    made.insert(made.begin(), cases::SolidLayer{shelf.at("hdpe"), draw.between(0.001, 0.004)});
    made.push_back(cases::SolidLayer{shelf.at("hdpe"), draw.between(0.001, 0.004)});
  } else if (kind < 0.5) {
    made.insert(made.begin(), cases::SolidLayer{shelf.at("aluminium"), 0.001});
  }
  return made;
}

cases::Coolant loose(Draw& draw, const cases::Box& box, const cases::MaterialShelf& shelf) {
  cases::Coolant ice;
  ice.name = "ice";
  ice.material = shelf.at("water_ice");
  ice.form = cases::CoolantForm::loose;
  ice.mass = draw.between(0.06, 0.3) * inside_volume(box) * ice.material.density;
  ice.place = draw.chance(0.3) ? cases::Place::floor : cases::Place::around_payload;
  ice.start = zero - draw.between(0, 10);
  ice.contact.coefficient = 200;
  ice.contact.of_contents = 120;
  if (draw.chance(0.4)) ice.melt_water = cases::MeltWater::drained;
  return ice;
}

cases::Coolant pack(Draw& draw, const cases::Box& box, const cases::MaterialShelf& shelf,
                    cases::Place place, const std::string& name) {
  const std::array what{"water_ice", "gel_pack", "nacl_eutectic", "kno3_eutectic", "n_tetradecane"};
  cases::Coolant made;
  made.name = name;
  made.material = shelf.at(what[draw.one_of(5)]);
  made.place = place;
  made.thickness = draw.between(0.012, 0.045);
  const bool at_sides = place == cases::Place::sides;
  const double room = at_sides ? inside_side_area(box) : inside_floor_area(box);
  const double share = draw.chance(0.25) ? 0.98 : draw.between(0.2, 0.98);
  made.mass = (at_sides ? 0.7 : 1) * share * room * made.thickness * made.material.density;
  made.start = cases::solidus_of(made.material) - draw.between(0.5, 15);
  made.contact.coefficient = 29;
  return made;
}

cases::Payload contents(Draw& draw, const cases::Box& box, const cases::MaterialShelf& shelf) {
  cases::Payload made;
  made.name = "contents";
  made.start = zero + draw.between(2, 8);
  made.stands.coefficient = 29;
  if (draw.chance(0.2)) made.stands.on = cases::Support::On::nothing;
  if (draw.chance(0.3)) {
    made.contents = shelf.at("fish_fillet");
    cases::FoodBlock block;
    block.mass = draw.between(0.05, 0.25) * inside_volume(box) * made.contents.density;
    block.thickness = draw.between(0.04, 0.1);
    made.body = block;
    return made;
  }
  const std::array drinks{"cola", "orange_juice", "milk"};
  made.contents = shelf.at(drinks[draw.one_of(3)]);
  cases::Cans cans;
  cans.count = 2 + static_cast<int>(draw.one_of(10));
  cans.volume = 0.33e-3;
  cans.diameter = 0.066;
  cans.height = 0.115;
  cans.radial = draw.chance(0.3);
  made.body = cans;
  return made;
}

/// Nothing where what was drawn does not fit.
std::optional<cases::Case> box_drawn(unsigned seed, const cases::MaterialShelf& shelf) {
  Draw draw(seed);
  cases::Case c;
  c.title = "random box";
  c.box.inside = cases::RectangularInside{draw.between(0.25, 0.6), draw.between(0.2, 0.4),
                                          draw.between(0.2, 0.4)};
  if (draw.chance(0.15)) {
    c.box.inside = cases::RoundInside{draw.between(0.25, 0.4), draw.between(0.25, 0.4)};
  }
  c.box.sides = c.box.lid = c.box.base = wall(draw, shelf);
  if (draw.chance(0.3)) c.box.lid = wall(draw, shelf);
  if (draw.chance(0.3)) c.box.base = wall(draw, shelf);
  c.box.gasket_leak = draw.between(0, 0.1);
  using cases::Place;
  const std::array places{Place::floor, Place::lid, Place::sides, Place::around_payload,
                          Place::free};
  if (draw.chance(0.25)) {
    c.coolants = {loose(draw, c.box, shelf)};
  } else {
    c.coolants = {pack(draw, c.box, shelf, places[draw.one_of(5)], "pack")};
    if (draw.chance(0.4)) {
      c.coolants.push_back(pack(draw, c.box, shelf, places[draw.one_of(5)], "second"));
    }
  }
  c.payloads = {contents(draw, c.box, shelf)};
  const double mean = zero + draw.between(15, 38);
  c.surroundings.air = cases::ConstantAir{mean};
  if (draw.chance(0.4)) {
    c.surroundings.air = cases::DailyWave{mean, draw.between(0, 5), draw.between(0, 86400)};
  }
  c.surroundings.outside_coefficient = draw.between(2.5, 20);
  c.surroundings.base_coefficient = draw.between(3, 10);
  c.run.duration = 72 * hour;
  c.limits = {{"cold", {"contents"}, cases::Side::not_above, c.payloads[0].start + 3}};
  double taken = volume_of(c.payloads[0]);
  for (const auto& coolant : c.coolants) taken += space_of(coolant);
  if (taken > 0.95 * inside_volume(c.box)) return std::nullopt;
  const auto choice = cases::choose_detail(c);
  if (!choice.fits) return std::nullopt;
  return c;
}

/// A probe's temperature at one instant.
struct At : solver::Watcher {
  void at_instant(const solver::StepView& /*view*/) override {}
  void after_step(const solver::StepView& view) override {
    if (time > view.begin && time <= view.end) {
      temperature = solver::probe_temperature(view, *probe, time);
    }
  }
  const mesh::Probe* probe = nullptr;
  double time = -1, temperature = 0;
};

struct Answer {
  double end = solver::never, spent = solver::never, heat = 0, at_end = 0;
  std::size_t cells = 0;
  bool completed = false;
};

/// `passed` (s): when the finest passed its limit; < 0 without.
Answer answer_of(const cases::Case& c, double passed) {
  const auto network = mesh::build_network(c);
  At at;
  for (const auto& probe : network.probes) {
    if (probe.name == "contents") at.probe = &probe;
  }
  at.time = passed;
  const auto result = solver::run_network(c, network, {&at});
  Answer answer;
  answer.completed = result.summary.completed;
  answer.end = result.limits[0].end_time;
  answer.at_end = at.temperature;
  for (std::size_t i = 0; i < c.coolants.size(); ++i) {
    // The last to be spent, where all are.
    const double spent = result.items[i].spent_at;
    if (spent < 0) {
      answer.spent = solver::never;
      break;
    }
    answer.spent = std::max(answer.spent, spent);
  }
  for (const double heat : result.heat_by_path) answer.heat += heat;
  answer.cells = network.cells.size();
  return answer;
}

json told(const Answer& a) {
  return {{"end", a.end},       {"spent", a.spent},         {"heat", a.heat},
          {"at_end", a.at_end}, {"completed", a.completed}, {"cells", a.cells}};
}

std::string kind_of(const cases::Case& c) {
  constexpr std::array<const char*, 5> words{"floor", "lid", "sides", "around", "free"};
  std::string kind;
  for (const auto& coolant : c.coolants) {
    if (!kind.empty()) kind += "+";
    kind += coolant.form == cases::CoolantForm::loose
                ? "loose"
                : words[static_cast<std::size_t>(coolant.place)];
  }
  return kind;
}

}  // namespace

int main(int, char** words) {
  const auto shelf = cases::read_material_folder(words[1]);
  const unsigned first = static_cast<unsigned>(std::stoul(words[2]));
  const unsigned count = static_cast<unsigned>(std::stoul(words[3]));
  for (unsigned i = first; i < first + count; ++i) {
    std::optional<cases::Case> drawn;
    for (unsigned again = 0; !drawn; ++again) drawn = box_drawn(1000 * i + again, shelf);
    auto finest = *drawn;
    finest.run.detail = cases::Detail::two_d;
    finest.run.accuracy = 0.05;
    auto chosen = *drawn;
    cases::settle_detail(chosen, cases::choose_detail(chosen), false);
    auto columns = *drawn;
    columns.run.detail = cases::Detail::one_d;
    json row{{"box", i},
             {"kind", kind_of(*drawn)},
             {"liner", cases::reach_along_sides(drawn->box)},
             {"detail", cases::word_of(chosen.run.detail)}};
    row["limit"] = drawn->limits[0].temperature;
    try {
      const Answer fine = answer_of(finest, -1);
      row["finest"] = told(fine);
      row["chosen"] = told(answer_of(chosen, fine.end));
      row["columns"] = told(answer_of(columns, fine.end));
    } catch (const cases::InputError& error) {
      row["error"] = error.what();
    }
    std::cout << row << std::endl;
  }
}
