#include "cases/read_case.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <set>

#include "cases/choose_detail.hpp"
#include "cases/entry.hpp"
#include "cases/read_box.hpp"
#include "cases/read_contents.hpp"
#include "cases/read_trace.hpp"

namespace thawline::cases {

namespace {

constexpr Range ambient_temperature{150, 400};
constexpr Range instant{0, 366 * 86400.0};

Air read_air(const Entry& entry, const TraceShelf& traces) {
  if (entry.is_text()) {
    return ConstantAir{entry.quantity(dimension::temperature, ambient_temperature)};
  }
  entry.check_known({"trace", "daily_wave"});
  if (entry.has("trace")) {
    entry.check_keys("trace");
    const Entry name = entry.at("trace");
    namespace fs = std::filesystem;
    const fs::path folder = fs::path(entry.source().file).parent_path();
    const fs::path file = folder / name.line();
    const auto named = [&name](Trace trace) {
      trace.file = name.line();
      return trace;
    };
    const auto known = traces.find(file.string());
    if (known != traces.end()) return named(read_trace(entry, known->second));
    std::error_code error;
    if (!fs::exists(file, error)) {
      name.fail(fmt::format("there is no file '{}'", shortened(file.string())), Mistake::form);
    }
    return named(read_trace(entry, open_logged_file(file.string())));
  }
  entry.check_keys("daily_wave");
  return DailyWave{entry.at("mean").quantity(dimension::temperature, ambient_temperature),
                   entry.at("swing").quantity(dimension::difference, {0, 60}),
                   entry.at("warmest_at").quantity(dimension::time, {0, 86400})};
}

Surroundings read_surroundings(const Entry& entry, const TraceShelf& traces) {
  entry.check_keys("surroundings");
  for (const char* later : {"sun", "humidity"}) {
    if (const auto found = entry.find(later)) {
      found->fail(
          fmt::format("'{}' is part of the case format but not yet computed; take it out", later));
    }
  }
  Surroundings s;
  s.air = read_air(entry.at("air"), traces);
  const auto wind = entry.find("wind");
  const auto coefficient = entry.find("outside_coefficient");
  if (wind && coefficient) coefficient->fail("give either 'wind' or 'outside_coefficient'");
  // ISO 6946:2017 Annex C, external surfaces: h_c = 4 + 4 v (from memory); still air 2.5 W/m2/K.
  s.outside_coefficient = 2.5;
  if (wind) s.outside_coefficient = 4 + 4 * wind->quantity(dimension::speed, {0, 50});
  if (coefficient) {
    s.outside_coefficient = coefficient->quantity(dimension::coefficient, {0.1, 1e5});
  }
  if (const auto on = entry.find("long_wave")) s.long_wave = on->on_off();
  // A box standing on a table or deck: common practice, no source.
  s.base_coefficient = 6;
  if (const auto ground = entry.find("stands_on")) {
    ground->check_keys("stands_on");
    if (const auto h = ground->find("coefficient")) {
      s.base_coefficient = h->quantity(dimension::coefficient, {0.01, 1e5});
    }
    if (const auto t = ground->find("temperature")) {
      s.base_temperature = t->quantity(dimension::temperature, ambient_temperature);
    }
  }
  return s;
}

std::vector<std::string> item_names(const Case& c) {
  std::vector<std::string> names;
  for (const auto& coolant : c.coolants) names.push_back(coolant.name);
  for (const auto& payload : c.payloads) names.push_back(payload.name);
  return names;
}

std::string known_word(const Entry& entry, const std::vector<std::string>& known,
                       const std::string& what) {
  const std::string word = entry.text();
  if (std::find(known.begin(), known.end(), word) != known.end()) return word;
  if (known.empty()) entry.fail(fmt::format("'{}' is no {}; there is none", shortened(word), what));
  const std::string near = nearest(word, known);
  entry.fail(near.empty()
                 ? fmt::format("'{}' is no {}; there are: {}", shortened(word), what,
                               fmt::join(known, ", "))
                 : fmt::format("'{}' is no {}; did you mean '{}'?", shortened(word), what, near));
}

Happening read_happening(const Entry& entry, const std::vector<std::string>& items) {
  entry.check_known({"open_lid", "add", "remove"});
  if (entry.has("add")) {
    entry.check_keys("add");
    return {entry.at("at").quantity(dimension::time, instant),
            AddItem{known_word(entry.at("add"), items, "coolant or payload")}};
  }
  if (entry.has("remove")) {
    entry.check_keys("remove");
    return {entry.at("at").quantity(dimension::time, instant),
            RemoveItem{known_word(entry.at("remove"), items, "coolant or payload")}};
  }
  if (!entry.has("open_lid")) entry.fail("needs one of 'open_lid', 'add' and 'remove'");
  entry.check_keys("open_lid");
  // One air volume every 15 s while open: common practice, no source.
  OpenLid open{entry.at("open_lid").quantity(dimension::time, {1, 86400}), 1.0 / 15};
  if (const auto changes = entry.find("air_changes")) {
    open.air_changes = changes->quantity(dimension::rate, {1e-5, 10});
  }
  return {entry.at("at").quantity(dimension::time, instant), open};
}

/// Each item may come once and go once, in that order.
void check_order(const std::vector<Entry>& entries, const std::vector<Happening>& happenings) {
  std::map<std::string, std::string> last;
  double time = -1;
  double closed_at = 0;
  for (std::size_t i = 0; i < happenings.size(); ++i) {
    if (happenings[i].at < time) entries[i].fail("happenings must stand in the order of time");
    time = happenings[i].at;
    if (const auto* open = std::get_if<OpenLid>(&happenings[i].what)) {
      if (time < closed_at) entries[i].fail("the lid is still open from the happening before");
      closed_at = time + open->duration;
    } else if (const auto* add = std::get_if<AddItem>(&happenings[i].what)) {
      if (last.contains(add->item)) {
        entries[i].fail(fmt::format("'{}' is in the box or was; name a second one", add->item));
      }
      last[add->item] = "add";
    } else {
      const auto& item = std::get<RemoveItem>(happenings[i].what).item;
      if (last.contains(item) && last[item] == "remove") {
        entries[i].fail(fmt::format("'{}' was taken out already", item));
      }
      last[item] = "remove";
    }
  }
}

std::vector<Happening> read_happenings(const Entry& entry, const Case& c) {
  const auto entries = entry.items();
  std::vector<Happening> happenings;
  for (const auto& item : entries) happenings.push_back(read_happening(item, item_names(c)));
  check_order(entries, happenings);
  return happenings;
}

Limit read_limit(const Entry& entry, const std::vector<std::string>& probes) {
  entry.check_keys("limit");
  Limit limit;
  for (const auto& probe : entry.at("probe").items()) {
    limit.probes.push_back(known_word(probe, probes, "probe"));
  }
  const auto above = entry.find("not_above");
  const auto below = entry.find("not_below");
  if (above.has_value() == below.has_value()) {
    entry.fail("needs either 'not_above' or 'not_below' with a temperature");
  }
  limit.side = above ? Side::not_above : Side::not_below;
  limit.temperature = (above ? *above : *below).quantity(dimension::temperature, {73.15, 373.15});
  if (const auto error = entry.find("logger_error")) {
    limit.logger_error = error->quantity(dimension::difference, {0.01, 5});
  }
  limit.name = entry.has("name")
                   ? entry.at("name").line()
                   : fmt::format("{} {} {:g} degC", fmt::join(limit.probes, ", "),
                                 above ? "not above" : "not below", limit.temperature - 273.15);
  return limit;
}

/// The air inside as a conducting region; loose pieces in their water have no place in a section.
double read_air_conductivity(const Entry& entry, const Case& c) {
  for (const auto& coolant : c.coolants) {
    if (coolant.form == CoolantForm::loose) {
      entry.fail(
          fmt::format("does not go with loose coolant ('{}'); leave it out, and the air is "
                      "well mixed",
                      shortened(coolant.name)));
    }
  }
  return entry.quantity(dimension::conductivity, {0.02, 1e4});
}

/// `c` holds the coolants.
Run read_run(const Entry& entry, const Case& c) {
  entry.check_keys("run");
  Run run;
  run.duration = entry.at("duration").quantity(dimension::time, {1, 366 * 86400.0});
  if (const auto detail = entry.find("detail")) {
    if (detail->one_of({"1d", "2d"}) == "2d") run.detail = Detail::two_d;
  }
  if (const auto section = entry.find("section")) {
    section->check_keys("section");
    if (const auto fineness = section->find("fineness")) {
      run.section.fineness = fineness->number({0.25, 64});
    }
    if (const auto most = section->find("most_cells")) {
      run.section.most_cells = most->whole_number(100, 4000000);
    }
    if (const auto air = section->find("air_conductivity")) {
      run.section.air_conductivity = read_air_conductivity(*air, c);
    }
  }
  if (const auto accuracy = entry.find("accuracy")) {
    run.accuracy = accuracy->quantity(dimension::difference, {1e-6, 1});
  }
  run.output_every = std::max(run.duration / 500, std::min(600.0, run.duration / 20));
  if (const auto every = entry.find("output_every")) {
    run.output_every = every->quantity(dimension::time, {0.1, 366 * 86400.0});
    if (run.duration / run.output_every > 200000) {
      every->fail("asks for more than 200000 outputs");
    }
  }
  if (const auto fields = entry.find("fields")) run.fields = fields->on_off();
  return run;
}

/// A name that two probes would share, empty when there is none.
std::string name_given_twice(const Case& c) {
  std::set<std::string> seen{"ambient"};
  for (const auto& name : probe_names(c)) {
    if (!seen.insert(name).second) return name;
  }
  return {};
}

/// `c` holds the items read so far; `entry` is the last of them.
void refuse_same_name(const Entry& entry, const Case& c) {
  const std::string name = name_given_twice(c);
  if (name.empty()) return;
  (entry.has("name") ? entry.at("name") : entry)
      .fail(fmt::format("two things are called '{}'; give one its own 'name'", shortened(name)));
}

/// Rows of cans bring names of their own: `NAME warmest`.
void refuse_name_of_row(const Entry& run, const Case& c) {
  const std::string name = name_given_twice(c);
  if (name.empty()) return;
  run.at("section").fail(fmt::format(
      "with rows of cans two things are called '{}'; name one of them otherwise", shortened(name)));
}

/// At no time may more lie in the box than it holds.
void check_room(const Entry& root, const Case& c) {
  const double room = inside_volume(c.box);
  std::map<std::string, double> volume;
  for (const auto& coolant : c.coolants) volume[coolant.name] = space_of(coolant);
  for (const auto& payload : c.payloads) volume[payload.name] = volume_of(payload);
  std::string voids;
  for (const auto& coolant : c.coolants) {
    if (coolant.form != CoolantForm::loose) continue;
    voids = fmt::format("; '{}' is {:.2f} L and takes {:.2f} L with the voids between its pieces",
                        coolant.name, 1e3 * volume_of(coolant), 1e3 * space_of(coolant));
  }
  double inside = 0;
  const auto check = [&](const std::string& when) {
    if (inside > room) {
      root.at("box").at("inside").fail(
          fmt::format("{} the contents take {:.2f} L and the box holds {:.2f} L{}", when,
                      1e3 * inside, 1e3 * room, voids));
    }
  };
  for (const auto& [name, v] : volume) inside += packed_at_start(c, name) ? v : 0;
  check("at the start");
  for (const auto& happening : c.happenings) {
    if (const auto* add = std::get_if<AddItem>(&happening.what)) {
      inside += volume[add->item];
      check(fmt::format("from {:g} h", happening.at / 3600));
    } else if (const auto* remove = std::get_if<RemoveItem>(&happening.what)) {
      inside -= volume[remove->item];
    }
  }
}

/// The coolants lying on one wall may not cover more than it, and loose ones share the floor.
void check_cover(const Entry& root, const Case& c) {
  double on_floor = 0;
  double under_lid = 0;
  double on_sides = 0;
  int loose = 0;
  for (const auto& coolant : c.coolants) {
    if (coolant.form == CoolantForm::loose) {
      ++loose;
      continue;
    }
    const double area = volume_of(coolant) / coolant.thickness;
    if (coolant.place == Place::floor) on_floor += area;
    if (coolant.place == Place::lid) under_lid += area;
    if (coolant.place == Place::sides) on_sides += area;
  }
  const double floor = inside_floor_area(c.box);
  if (on_floor > floor * (1 + 1e-9) || under_lid > floor * (1 + 1e-9) ||
      on_sides > inside_side_area(c.box) * (1 + 1e-9)) {
    root.at("coolant").fail("together the packs cover more of one wall than there is; stack them");
  }
  if (loose > 1) root.at("coolant").fail("only one loose coolant can lie in a box");
}

/// A trace that begins when the run is over says nothing about it.
void check_trace(const Entry& root, const Case& c) {
  const auto* trace = std::get_if<Trace>(&c.surroundings.air);
  if (trace == nullptr || trace->time.front() < c.run.duration) return;
  root.at("surroundings")
      .at("air")
      .at("trace")
      .fail(fmt::format("the trace begins at {:g} h, and the run ends at {:g} h",
                        trace->time.front() / 3600, c.run.duration / 3600));
}

void add_trace_notices(Case& c) {
  const auto* trace = std::get_if<Trace>(&c.surroundings.air);
  if (trace == nullptr) return;
  c.notices.insert(c.notices.end(), trace->notes.begin(), trace->notes.end());
  if (trace->time.front() > 0) {
    c.notices.push_back(fmt::format(
        "the trace begins at {:g} h; the air is as warm as its first reading until then",
        trace->time.front() / 3600));
  }
  if (trace->time.back() < c.run.duration) {
    c.notices.push_back(fmt::format(
        "the trace ends at {:g} h and the run at {:g} h; the air stays as warm as the last "
        "reading, "
        "and limits are followed no further than the trace: what holds until then holds 'at least' "
        "so long",
        trace->time.back() / 3600, c.run.duration / 3600));
  }
}

void add_notices(Case& c) {
  add_trace_notices(c);
  const bool chosen = !c.run.why_detail.empty();
  if (chosen && c.run.detail == Detail::one_d &&
      std::any_of(c.coolants.begin(), c.coolants.end(), lies_on_wall)) {
    c.notices.push_back(fmt::format(
        "packs lie on walls, and columns (`detail: 1d`) take them for plates without ends: hold "
        "times may be a quarter off. A section, which would be within some 1 %, cannot be laid "
        "out: {}",
        c.run.why_detail));
  }
  constexpr double far_along = 0.05;  // m
  if (c.run.detail == Detail::one_d && reach_along_sides(c.box) > far_along) {
    c.notices.push_back(
        fmt::format("the liner ({}) carries heat along the walls; only `detail: 2d` computes that",
                    std::get<SolidLayer>(c.box.sides.front()).material.name));
  }

  if (const auto* r = std::get_if<RectangularInside>(&c.box.inside)) {
    const double thickest =
        std::max({thickness_of(c.box.sides), thickness_of(c.box.lid), thickness_of(c.box.base)});
    if (std::min({r->length, r->width, r->height}) < thickest / 5) {
      c.notices.push_back(
          "an inside length is under a fifth of the wall: the edge and corner terms do not hold");
    }
  }
  if (!c.happenings.empty() && c.happenings.back().at > c.run.duration) {
    c.notices.push_back("some happenings come after the end of the run and are not computed");
  }
}

}  // namespace

Case read_case_tree(const Entry& root, const MaterialShelf& shelf, const TraceShelf& traces) {
  root.check_keys("case");
  Case c;
  c.text = root.source().text;
  c.file = root.source().file;
  MaterialShelf materials = shelf;
  if (const auto own = root.find("materials")) read_materials(*own, materials);
  c.title = root.at("title").line();
  c.box = read_box(root.at("box"), materials);
  if (const auto coolants = root.find("coolant")) {
    for (const auto& item : coolants->items()) {
      c.coolants.push_back(read_coolant(item, materials, c.box));
      refuse_same_name(item, c);
    }
  }
  if (const auto payloads = root.find("payload")) {
    for (const auto& item : payloads->items()) {
      c.payloads.push_back(read_payload(item, materials, c.box, c.coolants));
      refuse_same_name(item, c);
    }
  }
  c.surroundings = read_surroundings(root.at("surroundings"), traces);
  if (const auto happenings = root.find("happenings")) {
    c.happenings = read_happenings(*happenings, c);
  }
  c.run = read_run(root.at("run"), c);
  if (!root.at("run").has("detail")) {
    settle_detail(c, choose_detail(c), root.at("run").has("accuracy"));
  }
  refuse_name_of_row(root.at("run"), c);
  if (const auto limits = root.find("limits")) {
    for (const auto& item : limits->items()) {
      c.limits.push_back(read_limit(item, probe_names(c)));
    }
  }
  check_room(root, c);
  check_cover(root, c);
  check_trace(root, c);
  add_notices(c);
  for (const auto& [name, material] : materials_of(c)) c.materials_text += material.written;
  return c;
}

Case read_case_text(const std::string& file, const std::string& text, const MaterialShelf& shelf) {
  const SourceText source{file, text};
  return read_case_tree(parse_yaml(source), shelf, {});
}

Case read_case(const std::string& file, const MaterialShelf& shelf) {
  const SourceText source = read_text_file(file, most_case_bytes);
  return read_case_tree(parse_yaml(source), shelf, {});
}

}  // namespace thawline::cases
