#include <algorithm>
#include <random>

#include "cases/read_material.hpp"
#include "library_json.hpp"
#include "solver/results/run_case.hpp"

// Random boxes through the whole library. Usage: random_boxes MATERIAL_FOLDER COUNT
// For each box: does a thicker wall, more coolant or cooler surroundings ever shorten the hold
// time; does any cell leave the range of temperatures put in; does the energy close?

using namespace thawline;
using validation::json;

namespace {

constexpr double zero = 273.15;

class Draw {
 public:
  explicit Draw(unsigned seed) : engine_(seed) {}
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(engine_() >> 11U) / 9007199254740992.0;
  }
  bool chance(double p) { return between(0, 1) < p; }
  int one_of(int n) { return std::min(n - 1, static_cast<int>(between(0, n))); }

 private:
  std::mt19937_64 engine_;
};

cases::Case random_case(Draw& draw, const cases::MaterialShelf& shelf) {
  cases::Case c;
  c.title = "random box";
  c.box.inside = cases::RectangularInside{draw.between(0.25, 0.6), draw.between(0.2, 0.4),
                                          draw.between(0.2, 0.4)};
  if (draw.chance(0.2)) {
    c.box.inside = cases::RoundInside{draw.between(0.25, 0.4), draw.between(0.25, 0.4)};
  }
  const char* foams[] = {"eps", "xps", "pu_foam"};
  cases::Wall wall{cases::SolidLayer{shelf.at(foams[draw.one_of(3)]), draw.between(0.015, 0.08)}};
  if (draw.chance(0.5)) {
    wall.insert(wall.begin(), cases::SolidLayer{shelf.at("hdpe"), 0.002});
    wall.push_back(cases::SolidLayer{shelf.at("hdpe"), 0.002});
  }
  c.box.sides = c.box.lid = c.box.base = wall;
  c.box.gasket_leak = draw.between(0, 0.1);

  cases::Coolant coolant;
  coolant.name = "coolant";
  const bool loose = draw.chance(0.4);
  const char* packs[] = {"water_ice", "gel_pack", "nacl_eutectic", "kno3_eutectic",
                         "n_tetradecane"};
  coolant.material = shelf.at(loose ? "water_ice" : packs[draw.one_of(5)]);
  coolant.mass = draw.between(0.05, 0.3) * inside_volume(c.box) * coolant.material.density;
  coolant.form = loose ? cases::CoolantForm::loose : cases::CoolantForm::pack;
  coolant.place = loose ? cases::Place::around_payload : cases::Place::floor;
  coolant.thickness = 1.05 * volume_of(coolant) / inside_floor_area(c.box);
  coolant.start = cases::solidus_of(coolant.material) - draw.between(0.5, 15);
  coolant.contact.coefficient = loose ? 200 : 29;
  if (loose && draw.chance(0.3)) coolant.melt_water = cases::MeltWater::drained;
  c.coolants = {coolant};

  cases::Payload payload;
  payload.name = "drinks";
  const char* drinks[] = {"cola", "orange_juice", "diet_soft_drink", "milk"};
  payload.contents = shelf.at(drinks[draw.one_of(4)]);
  cases::Cans cans;
  cans.count = 2 + draw.one_of(10);
  cans.volume = 0.33e-3;
  cans.diameter = 0.066;
  cans.height = 0.115;
  cans.radial = draw.chance(0.3);
  payload.body = cans;
  payload.start = zero + draw.between(2, 7);
  c.payloads = {payload};

  const double mean = zero + draw.between(15, 40);
  c.surroundings.air = cases::ConstantAir{mean};
  if (draw.chance(0.5)) {
    c.surroundings.air = cases::DailyWave{mean, draw.between(0, 5), draw.between(0, 86400)};
  }
  c.surroundings.outside_coefficient = draw.between(2.5, 30);
  c.surroundings.base_coefficient = draw.between(2, 10);
  c.limits = {{"cold", {"drinks"}, cases::Side::not_above, zero + 10}};
  c.run.duration = 96 * 3600;
  return c;
}

cases::Case with_thicker_wall(cases::Case c) {
  for (auto* wall : {&c.box.sides, &c.box.lid, &c.box.base}) {
    for (auto& layer : *wall) {
      auto& solid = std::get<cases::SolidLayer>(layer);
      if (solid.material.name != "hdpe") solid.thickness *= 1.25;
    }
  }
  return c;
}

/// A quarter more: thicker packs over the same area, or more loose ice.
cases::Case with_more_coolant(cases::Case c) {
  c.coolants[0].mass *= 1.25;
  c.coolants[0].thickness *= 1.25;
  return c;
}

cases::Case in_cooler_air(cases::Case c) {
  if (auto* still = std::get_if<cases::ConstantAir>(&c.surroundings.air)) still->temperature -= 3;
  if (auto* wave = std::get_if<cases::DailyWave>(&c.surroundings.air)) wave->mean -= 3;
  return c;
}

cases::Case solved_finely(cases::Case c) {
  c.run.accuracy = 0.01;
  return c;
}

/// Farthest that any cell goes outside the range of temperatures put in, K.
struct RangeWatch : solver::Watcher {
  void at_instant(const solver::StepView& view) override { after_step(view); }
  void after_step(const solver::StepView& view) override {
    for (int i = 0; i < view.balance->cells(); ++i) {
      const double t = view.balance->thermal_state(*view.to, i).temperature;
      outside = std::max({outside, low - t, t - high});
    }
  }
  double low = 0, high = 0, outside = -1e9;
};

struct Answer {
  double hold = 0, closure = 0, outside = 0;
  bool completed = false;
};

Answer answer_of(const cases::Case& c) {
  RangeWatch range;
  range.low = std::min(c.coolants[0].start, c.payloads[0].start);
  range.high = std::max(c.coolants[0].start, c.payloads[0].start);
  for (int i = 0; i <= 960; ++i) {
    const double air = temperature_at(c.surroundings.air, c.run.duration * i / 960);
    range.low = std::min(range.low, air);
    range.high = std::max(range.high, air);
  }
  const auto result = solver::run_network(c, mesh::build_network(c), {&range});
  Answer answer{result.limits[0].hold_time(), result.summary.closure, range.outside,
                result.summary.completed};
  if (answer.hold == solver::never) {
    // Still cold at the end holds for the whole run; a box that never got cold holds not at all.
    answer.hold = result.limits[0].chill_time == solver::never ? 0 : c.run.duration;
  }
  return answer;
}

}  // namespace

int main(int, char** arguments) {
  const auto shelf = cases::read_material_folder(arguments[1]);
  const int count = std::stoi(arguments[2]);
  Draw draw(20240229);
  json out = json::array();
  for (int i = 0; i < count; ++i) {
    const cases::Case c = random_case(draw, shelf);
    json row;
    const auto keep = [&row](const char* name, const Answer& a) {
      row[name] = {{"hold", a.hold},
                   {"closure", a.closure},
                   {"outside", a.outside},
                   {"completed", a.completed}};
    };
    row["coolant"] = c.coolants[0].material.name;
    row["form"] = c.coolants[0].form == cases::CoolantForm::loose ? "loose" : "pack";
    row["drained"] = c.coolants[0].melt_water == cases::MeltWater::drained;
    keep("base", answer_of(c));
    keep("thicker", answer_of(with_thicker_wall(c)));
    keep("more", answer_of(with_more_coolant(c)));
    keep("cooler", answer_of(in_cooler_air(c)));
    keep("fine", answer_of(solved_finely(c)));
    out.push_back(row);
  }
  std::cout << out << "\n";
}
