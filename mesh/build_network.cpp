#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

#include "cases/alike_packs.hpp"
#include "mesh/box_faces.hpp"
#include "mesh/inside_air.hpp"
#include "mesh/network.hpp"
#include "mesh/network_builder.hpp"
#include "mesh/pack_edges.hpp"
#include "mesh/section/add_section.hpp"
#include "mesh/section/air_parcels.hpp"
#include "mesh/section/payload_rows.hpp"
#include "mesh/standing.hpp"
#include "mesh/wall_joints.hpp"

namespace thawline::mesh {

namespace {

using cases::Cans;
using cases::Case;
using cases::Coolant;
using cases::CoolantForm;
using cases::FoodBlock;
using cases::Payload;
using cases::Place;
using std::numbers::pi;

/// A shell whose half resists less than this (m2 K/W) is of one temperature: a hundredth of the
/// least that the drink's own film does.
constexpr double thinnest_shell = 1e-5;
/// Bands of side wall between the highest and the lowest level of a bed of loose pieces.
constexpr int bands_of_wall = 6;
/// A band is bared while the level falls through so much of it, about its middle.
constexpr double share_that_bares = 0.5;

class CaseBuilder {
 public:
  CaseBuilder(const Case& c, const Resolution& resolution)
      : bodies_(cases::pack_bodies(c)),
        case_(cases::with_bodies_joined(c, bodies_)),
        resolution_(resolution),
        build_(network_, resolution) {}

  Network build() {
    add_items();
    add_air();
    add_loose_coolant();
    add_packs();
    add_payloads();
    expose_packs();
    add_walls();
    if (is_section()) {
      section::add_section(room(), parcels_ ? &*parcels_ : nullptr, network_, build_, resolution_);
    }
    add_leaks();
    add_probes();
    build_.finish();
    share_bodies();
    return std::move(network_);
  }

 private:
  [[nodiscard]] bool is_section() const { return case_.run.detail == cases::Detail::two_d; }
  [[nodiscard]] Room room() const {
    return {&case_, air_, radiant_, bath_, start_of_box(), standing_};
  }

  void add_items() {
    const auto add = [this](const std::string& name, bool coolant, double mass) {
      const int item = static_cast<int>(network_.items.size());
      network_.items.push_back(
          {name, coolant, packed_at_start(case_, name), mass, item, 1, {}, {}});
    };
    for (const auto& coolant : case_.coolants) add(coolant.name, true, coolant.mass);
    for (const auto& payload : case_.payloads) add(payload.name, false, mass_of(payload));
    for (std::size_t i = 0; i < bodies_.size(); ++i) {
      const auto first = static_cast<std::size_t>(bodies_[i].first);
      network_.items[i].body = bodies_[i].first;
      network_.items[i].share = bodies_[i].share;
      network_.items[i].mass = bodies_[i].share * case_.coolants[first].mass;
    }
  }

  [[nodiscard]] int payload_item(std::size_t i) const {
    return static_cast<int>(case_.coolants.size() + i);
  }

  /// The air starts as warm as the first payload, else as the coolant, else as the ambient.
  [[nodiscard]] double start_of_box() const {
    for (const auto& payload : case_.payloads) {
      if (packed_at_start(case_, payload.name)) return payload.start;
    }
    return temperature_at(case_.surroundings.air, 0);
  }

  void add_air() {
    double contents = 0;
    for (const auto& coolant : case_.coolants) {
      if (packed_at_start(case_, coolant.name)) contents += volume_of(coolant);
    }
    for (const auto& payload : case_.payloads) {
      if (packed_at_start(case_, payload.name)) contents += volume_of(payload);
    }
    network_.free_air_volume =
        std::max(inside_volume(case_.box) - contents, 0.02 * inside_volume(case_.box));
    const int material = build_.add_material(inside_air(), 1);
    const Start start{start_of_box(), -1};
    if (is_section() && case_.run.section.air_conductivity) {
      layout_ = section::layout_of(case_);
      parcels_.emplace(layout_, *case_.run.section.air_conductivity, network_.free_air_volume,
                       material, start, build_);
      air_ = parcels_->all();
    } else {
      air_ = {{build_.add_lumped("air", material, network_.free_air_volume,
                                 build_.part("air space"), -1, start),
               1}};
    }
    radiant_ = build_.add_surface("long-wave exchange", -1);
  }

  void add_loose_coolant() {
    for (std::size_t i = 0; i < case_.coolants.size(); ++i) {
      const Coolant& coolant = case_.coolants[i];
      if (coolant.form != CoolantForm::loose) continue;
      const int item = static_cast<int>(i);
      const int hub = build_.add_lumped(
          coolant.name, build_.add_material(coolant.material, coolant.liquid_mixing),
          volume_of(coolant), build_.part("coolant " + coolant.name), item, start_of(coolant));
      bath_ = {hub, item, loose_bed(case_, coolant), coolant.contact.coefficient};
      const int open_top = build_.add_cover(hub, [this](double fraction) {
        return floor_share(bath_.bed, fraction) * free_floor(bath_.bed, fraction);
      });
      Link top =
          build_.convection(hub, -1, inside_floor_area(case_.box), horizontal_length(case_.box),
                            Facing::up, case_.box.inside_coefficient);
      Link glow = build_.radiation(hub, radiant_,
                                   coolant.material.emissivity * inside_floor_area(case_.box));
      top.needs = glow.needs = item;
      top.cover = glow.cover = open_top;
      add_to_air(build_, air_, top);
      build_.add(glow);
    }
  }

  static Start start_of(const Coolant& coolant) {
    return {coolant.start, coolant.start_liquid_fraction.value_or(-1)};
  }

  struct Pack {
    int item = -1;
    double area = 0;
    int inner = -1, outer = -1;  ///< surface hubs
  };

  void add_packs() {
    packs_.resize(case_.coolants.size());
    for (std::size_t i = 0; i < case_.coolants.size(); ++i) {
      const Coolant& coolant = case_.coolants[i];
      if (coolant.form != CoolantForm::pack || coolant.mass <= 0) continue;
      if (is_section() && lies_on_wall(coolant)) continue;
      Pack& pack = packs_[i];
      pack.item = static_cast<int>(i);
      pack.area = volume_of(coolant) / coolant.thickness;
      pack.inner = build_.add_surface(coolant.name + " inner face", pack.item);
      pack.outer = build_.add_surface(coolant.name + " outer face", pack.item);
      build_.begin_column("through " + coolant.name, pack.inner, pack.outer, pack.item);
      build_.add_melting_layer(build_.add_material(coolant.material, coolant.liquid_mixing),
                               coolant.thickness, pack.area, build_.part("coolant " + coolant.name),
                               start_of(coolant));
      build_.end_column();
    }
  }

  void expose_packs() {
    for (std::size_t i = 0; i < packs_.size(); ++i) {
      if (packs_[i].item < 0) continue;
      expose_to_air(packs_[i], case_.coolants[i]);
      expose_edges(packs_[i], case_.coolants[i]);
    }
  }

  /// Half of the narrow faces belongs to either broad one.
  void expose_edges(const Pack& pack, const Coolant& coolant) {
    const FreeEdge edge = free_edge(case_, coolant);
    const Facing facing = coolant.place == Place::sides ? Facing::up : Facing::sideways;
    for (const int hub : {pack.inner, pack.outer}) {
      join_pack_to_air(build_, room(), pack.item, coolant.material.emissivity, hub, edge.area / 2,
                       edge.length, facing);
    }
  }

  /// A pack lying on a wall shows its inner face to the air; any other shows both.
  void expose_to_air(const Pack& pack, const Coolant& coolant) {
    const double length = std::sqrt(pack.area) / 4;
    const double emissive = coolant.material.emissivity;
    const Room inside_room = room();
    const auto show = [&](int hub, double area, Facing facing) {
      StandingShares standing;
      if (coolant.place == Place::floor) {
        standing = standing_on(inside_room, pack.item, area, area);
      }
      join_pack_to_air(build_, inside_room, pack.item, emissive, hub, area,
                       facing == Facing::sideways ? std::sqrt(pack.area) : length, facing,
                       standing);
    };
    switch (coolant.place) {
      case Place::floor:
        show(pack.inner, pack.area, Facing::up);
        break;
      case Place::lid:
        show(pack.inner, pack.area, Facing::down);
        break;
      case Place::sides:
        show(pack.inner, pack.area, Facing::sideways);
        break;
      case Place::free:
        show(pack.inner, pack.area, Facing::sideways);
        show(pack.outer, pack.area, Facing::sideways);
        break;
      case Place::around_payload:
        show(pack.inner, pack.area - contact_area(coolant), Facing::sideways);
        show(pack.outer, pack.area, Facing::sideways);
        break;
    }
  }

  /// One face of the pack, as far as the payload has surface for it (half of the whole).
  [[nodiscard]] double contact_area(const Coolant& coolant) const {
    double surface = 0;
    for (const auto& payload : case_.payloads) surface += surface_of(payload);
    const double face = volume_of(coolant) / coolant.thickness;
    return std::min({coolant.contact.area.value_or(face), face, surface / 2});
  }

  /// Columns through the walls; those of a section are part of its grid.
  void add_walls() {
    for (const BoxFace& face : box_faces(case_.box)) {
      report_wall(face);
      if (!is_section()) add_face(face);
    }
  }

  void report_wall(const BoxFace& face) {
    network_.walls.push_back(
        {face.name, face.plane_conductance, face.edge_conductance, face.corner_conductance});
  }

  /// Columns through one face: under each pack on it, at the ice, and the bare rest.
  void add_face(const BoxFace& face) {
    double bare = face.area;
    for (std::size_t i = 0; i < case_.coolants.size(); ++i) {
      const Coolant& coolant = case_.coolants[i];
      if (packs_[i].item < 0 || coolant.place != face.place) continue;
      const double covered = std::min(packs_[i].area, bare);
      if (covered <= 1e-6 * face.area) continue;
      add_wall_column(face, covered, "under " + coolant.name, &packs_[i], nullptr);
      bare -= covered;
    }
    if (bath_.hub >= 0 && face.place == Place::floor && bare > 1e-6 * face.area) {
      const BathCovers wet = covers_of_floor(build_, bath_);
      add_wall_column(face, bare, "at the ice", nullptr, &wet);
      return;
    }
    if (bath_.hub >= 0 && face.place == Place::sides) bare = add_bands(face, bare);
    if (bare > 1e-6 * face.area) add_wall_column(face, bare, "", nullptr, nullptr);
  }

  /// Columns through the side wall where loose pieces or their water reach, a band for each part of
  /// the height that their level falls by. Returns what is left of the `bare` area.
  double add_bands(const BoxFace& face, double bare) {
    const double perimeter = floor_perimeter(case_.box);
    const double high = bath_.highest();
    const double low = std::min(bath_.lowest(), high);
    std::vector<double> edges{0};
    if (low > 1e-3 * high) edges.push_back(low);
    for (int i = 1; i <= bands_of_wall && high - low > 1e-3 * high; ++i) {
      edges.push_back(low + (high - low) * i / bands_of_wall);
    }
    for (std::size_t i = 1; i < edges.size(); ++i) {
      const double area = std::min(bare, perimeter * (edges[i] - edges[i - 1]));
      if (area <= 1e-6 * face.area) break;
      const double middle = (edges[i - 1] + edges[i]) / 2;
      const double reach = share_that_bares / 2 * (edges[i] - edges[i - 1]);
      const BathCovers wet = i == 1 && edges[i] <= low
                                 ? covers_between(build_, bath_, 0, low)
                                 : covers_of_band(build_, bath_, middle - reach, middle + reach);
      add_wall_column(face, area, fmt::format("at the ice {}", i), nullptr, &wet);
      bare -= area;
    }
    return bare;
  }

  void add_wall_column(const BoxFace& face, double area, const std::string& where, const Pack* pack,
                       const BathCovers* wet) {
    const std::string name = where.empty() ? face.name : face.name + " " + where;
    const double share = area / face.area;
    const int inner = build_.add_surface(name + " inner face", -1);
    const int outer = build_.add_surface(name + " outer face", -1);
    build_.begin_column(name, inner, outer, -1);
    const double inside = start_of_box();
    const double outside = temperature_at(case_.surroundings.air, 0);
    build_.add_wall_layers(*face.wall, area, share * face.slope, face.gap_convection,
                           "wall " + face.name + ": ", inside, outside);
    build_.end_column();
    Lying lying;
    if (pack != nullptr) {
      lying = {pack->item, pack->outer,
               case_.coolants[static_cast<std::size_t>(pack->item)].contact.coefficient};
    }
    const bool is_bare_base = face.place == Place::floor && pack == nullptr && wet == nullptr;
    const bool is_bare_side = face.place == Place::sides && pack == nullptr && wet == nullptr;
    const Room inside_room = room();
    StandingShares standing;
    if (is_bare_base) standing = standing_on(inside_room, -1, area, area);
    if (is_bare_side) standing = standing_on(inside_room, side_walls, area, area);
    join_inside(build_, inside_room, face, inner, area, pack != nullptr ? &lying : nullptr, wet,
                standing);
    join_outside(build_, room(), face.place, outer,
                 share * (face.area + face.slope * thickness_of(*face.wall)));
  }

  void add_payloads() {
    standings_ = standings_of(case_);
    if (parcels_) {
      const auto rows = section::payload_rows(case_, layout_);
      for (const auto& row : rows) add_row(row, share_of_lowest(rows, row));
      return;
    }
    for (std::size_t i = 0; i < case_.payloads.size(); ++i) {
      add_payload(case_.payloads[i], payload_item(i), air_, {});
    }
  }

  /// How much of what a payload stands on is under one row of it.
  struct RowOnFloor {
    double share = 1;
    double x0 = 0, x1 = std::numeric_limits<double>::infinity();  ///< m
  };

  /// Rows of a payload that stand lowest share what it stands on by their pieces.
  static RowOnFloor share_of_lowest(const std::vector<section::PayloadRow>& rows,
                                    const section::PayloadRow& row) {
    const auto weight = [](const section::PayloadRow& r) { return std::max(1, r.cans); };
    double lowest = row.z0;
    for (const auto& r : rows) {
      if (r.payload == row.payload) lowest = std::min(lowest, r.z0);
    }
    double all = 0;
    for (const auto& r : rows) {
      if (r.payload == row.payload && r.z0 <= lowest) all += weight(r);
    }
    return {row.z0 <= lowest ? weight(row) / all : 0, row.x0, row.x1};
  }

  /// Returns the hub its contents have, −1 where they are a column.
  int add_payload(const Payload& payload, int item, const AirSpace& around,
                  const RowOnFloor& floor) {
    const int material = build_.add_material(payload.contents, payload.liquid_mixing);
    const int part = build_.part("payload " + payload.name);
    const int next_hub = static_cast<int>(network_.hubs.size());
    const auto* cans = std::get_if<Cans>(&payload.body);
    const bool lumped = cans != nullptr && !cans->radial;
    int outside = -1;
    if (cans == nullptr) {
      outside = add_block(payload, std::get<FoodBlock>(payload.body), material, part, item);
    } else {
      outside = lumped ? add_lumped_cans(payload, *cans, material, part, item)
                       : add_radial_cans(payload, *cans, material, part, item);
    }
    double stands = 0;
    for (Standing s : standings_) {
      if (payload_item(static_cast<std::size_t>(s.payload)) != item) continue;
      s.area *= floor.share;
      standing_.push_back({s, item, outside, floor.x0, floor.x1});
      if (s.pack != side_walls) stands += s.area;  // narrow faces are no part of a block's surface
    }
    join_payload(payload, outside, item, around, stands);
    return lumped ? next_hub : -1;
  }

  /// Cans of one row as a payload of their own, in the air where they stand.
  void add_row(const section::PayloadRow& row, const RowOnFloor& floor) {
    const int item = payload_item(static_cast<std::size_t>(row.payload));
    Payload payload = case_.payloads[static_cast<std::size_t>(row.payload)];
    const AirSpace around = parcels_->within(row.x0, row.x1, row.z0, row.z1);
    Region region{row.x0, row.x1, row.z0, row.z1};
    region.item = item;
    region.pieces = row.cans;
    if (row.cans > 0) std::get<Cans>(payload.body).count = row.cans;
    region.first = static_cast<int>(network_.cells.size());
    const int hub = add_payload(payload, item, around, floor);
    if (hub >= 0) {
      build_.add_region_of_hub(region, hub);
      return;
    }
    const int part = network_.cells[static_cast<std::size_t>(region.first)].part;
    region.cells = 0;
    for (std::size_t i = static_cast<std::size_t>(region.first); i < network_.cells.size(); ++i) {
      if (network_.cells[i].part == part) ++region.cells;
    }
    build_.add_region(region);
  }

  /// Contents of one temperature, and the can's wall: their own convection lies between.
  int add_lumped_cans(const Payload& payload, const Cans& cans, int material, int part, int item) {
    const int contents = build_.add_lumped(payload.name, material, cans.count * cans.volume, part,
                                           item, {payload.start, -1});
    if (!cans.shell) {
      const int wall = build_.add_surface(payload.name + " surface", item);
      build_.add(film_inside(payload, cans, wall, contents));
      return wall;
    }
    const double area = surface_of(payload);
    const int shell = build_.add_lumped(
        payload.name + " shell", build_.add_material(*cans.shell, 1), area * cans.shell_thickness,
        build_.part("shell of " + payload.name), item, {payload.start, -1});
    const double half = cans.shell_thickness / 2 / cans.shell->conductivity_solid.at(payload.start);
    if (half < thinnest_shell) {
      build_.add(film_inside(payload, cans, shell, contents));
      return shell;
    }
    const int wall = build_.add_surface(payload.name + " inner face", item);
    build_.add(film_inside(payload, cans, wall, contents));
    build_.add(build_.conductance(shell, wall, area / half));
    return shell;
  }

  /// From the wall of cans to their contents (see drink_film).
  [[nodiscard]] Link film_inside(const Payload& payload, const Cans& cans, int wall,
                                 int contents) const {
    Link film = build_.conductance(wall, contents, 0);
    film.law = Law::drink_film;
    film.area = surface_of(payload);
    film.length = cans.height;
    film.diameter = std::sqrt(4 / pi * cans.volume / cans.height);
    return film;
  }

  /// Rings about the axis; their area is scaled so that the outermost is the whole surface.
  int add_radial_cans(const Payload& payload, const Cans& cans, int material, int part, int item) {
    const int surface = build_.add_surface(payload.name + " surface", item);
    build_.begin_column("through " + payload.name, -1, surface, item);
    build_.add_rings(material, cans.count * cans.volume, surface_of(payload), part,
                     {payload.start, -1});
    if (cans.shell) {
      build_.add_solid_slice(build_.add_material(*cans.shell, 1), cans.shell_thickness,
                             surface_of(payload), build_.part("shell of " + payload.name),
                             {payload.start, -1});
    }
    build_.end_column();
    return surface;
  }

  int add_block(const Payload& payload, const FoodBlock& block, int material, int part, int item) {
    const int surface = build_.add_surface(payload.name + " surface", item);
    build_.begin_column("through " + payload.name, -1, surface, item);
    build_.add_melting_layer(material, block.thickness / 2, surface_of(payload), part,
                             {payload.start, -1});
    build_.end_column();
    return surface;
  }

  /// `around` is the air it stands in, `stands` (m2) the part of its surface it stands on.
  void join_payload(const Payload& payload, int outside, int item, const AirSpace& around,
                    double stands) {
    double bare = surface_of(payload) - stands;
    bare = std::max(0.1 * bare, bare - join_to_packs(payload, outside, item));
    const auto which = static_cast<std::size_t>(item) - case_.coolants.size();
    const bool buried = which < bath_.bed.standing.size();
    if (!buried) bare -= rest_on_bed(payload, outside, item, around, 0.9 * bare);
    Link air = build_.convection(outside, -1, bare, height_of(payload), Facing::sideways,
                                 case_.box.inside_coefficient);
    Link glow = build_.radiation(outside, radiant_, case_.box.inside_emissivity * bare);
    air.needs = glow.needs = item;
    if (buried) {
      Bath bath = bath_;
      bath.coefficient = case_.coolants[static_cast<std::size_t>(bath.item)].contact.of_contents;
      const BathCovers covers = covers_between(build_, bath, 0, bath.bed.standing[which].height);
      join_bath(build_, bath, around, bare, covers, air, glow);
    }
    add_to_air(build_, around, air);
    build_.add(glow);
  }

  /// The part of a surface that rests on loose pieces, at most `most` (m2), and shows the air what
  /// they no longer cover. Returns its area, m2.
  double rest_on_bed(const Payload& payload, int outside, int item, const AirSpace& around,
                     double most) {
    const auto which = static_cast<std::size_t>(item) - case_.coolants.size();
    const double area = std::min(area_on_bed(case_, which), most);
    if (area <= 0) return 0;
    Bath bath = bath_;
    bath.coefficient = payload.stands.coefficient;
    Link air = build_.convection(outside, -1, area, height_of(payload), Facing::sideways,
                                 case_.box.inside_coefficient);
    Link glow = build_.radiation(outside, radiant_, case_.box.inside_emissivity * area);
    air.needs = glow.needs = item;
    join_bath(build_, bath, around, area, covers_of_floor(build_, bath), air, glow);
    add_to_air(build_, around, air);
    build_.add(glow);
    return area;
  }

  double join_to_packs(const Payload& payload, int outside, int item) {
    double all = 0;
    for (const auto& other : case_.payloads) all += surface_of(other);
    double covered = 0;
    for (std::size_t i = 0; i < case_.coolants.size(); ++i) {
      const Coolant& coolant = case_.coolants[i];
      if (packs_[i].item < 0 || coolant.place != Place::around_payload) continue;
      const double area = contact_area(coolant) * surface_of(payload) / all;
      Link touch = build_.conductance(outside, packs_[i].inner, area * coolant.contact.coefficient);
      touch.needs = item;
      touch.needs_too = packs_[i].item;
      build_.add(touch);
      covered += area;
    }
    return covered;
  }

  static double height_of(const Payload& payload) {
    if (const auto* cans = std::get_if<Cans>(&payload.body)) return cans->height;
    return std::sqrt(surface_of(payload) / 2);
  }

  void add_leaks() {
    // Heat carried by exchanged air: ρ c_p V n, dry air at 20 degC.
    const double per_change = 1.2046 * 1006.1 * network_.free_air_volume;
    const double leak = case_.box.gasket_leak + case_.box.gasket_air_changes * per_change;
    if (leak > 0) {
      leak_from_air(Law::gasket, leak, build_.path("gasket"));
    }
    bool opens = false;
    for (const auto& happening : case_.happenings) {
      opens = opens || std::holds_alternative<cases::OpenLid>(happening.what);
    }
    if (!opens) return;
    const int open_path = build_.path("openings");
    leak_from_air(Law::opening, per_change, open_path);
    Link glow = build_.to_outside(radiant_, Outside::air, Law::opening, 0, open_path);
    glow.area = inside_floor_area(case_.box);
    build_.add(glow);
  }

  void leak_from_air(Law law, double conductance, int path) {
    for (const AirShare& part : air_) {
      build_.add(build_.to_outside(part.hub, Outside::air, law, part.share * conductance, path));
    }
  }

  void add_probes() {
    for (const auto& name : probe_names(case_)) {
      if (!add_probe_of_body(name)) network_.probes.push_back(build_.probe(name, air_));
    }
  }

  /// Packs that are part of another's body have the temperatures of that.
  bool add_probe_of_body(const std::string& name) {
    for (std::size_t i = 0; i < bodies_.size(); ++i) {
      const auto first = static_cast<std::size_t>(bodies_[i].first);
      const std::string& part = case_.coolants[i].name;
      if (first == i) continue;
      for (const char* where : {"", " core", " surface"}) {
        if (name != part + where) continue;
        Probe probe = build_.probe(case_.coolants[first].name + where, air_);
        probe.name = name;
        network_.probes.push_back(probe);
        return true;
      }
    }
    return false;
  }

  /// The cells of a body are those of all its packs.
  void share_bodies() {
    for (std::size_t i = 0; i < bodies_.size(); ++i) {
      const Item& body = network_.items[static_cast<std::size_t>(bodies_[i].first)];
      Item& item = network_.items[i];
      item.cells = body.cells;
      item.all_cells = body.all_cells;
    }
  }

  std::vector<cases::PackBody> bodies_;
  Case case_;  ///< with packs that are one body joined
  Resolution resolution_;
  Network network_;
  NetworkBuilder build_;
  AirSpace air_;
  std::optional<section::AirParcels> parcels_;  ///< of a section whose air conducts
  section::Layout layout_;                      ///< likewise
  int radiant_ = -1;
  Bath bath_;
  std::vector<Pack> packs_;
  std::vector<Standing> standings_;
  std::vector<StandingHub> standing_;  ///< the same, once their payloads are there
};

}  // namespace

Resolution resolution_for(double accuracy) {
  constexpr double usual = 0.05;  // K
  return {std::clamp(std::sqrt(usual / accuracy), 0.4, 1.0)};
}

Network build_network(const cases::Case& c) {
  return build_network(c, resolution_for(c.run.accuracy));
}

Network build_network(const cases::Case& c, const Resolution& resolution) {
  for (const auto& coolant : c.coolants) {
    if (coolant.freezing && !coolant.freezing->settled) {
      throw std::logic_error("how '" + coolant.name + "' comes out of its freezer is not settled");
    }
  }
  return CaseBuilder(c, resolution).build();
}

}  // namespace thawline::mesh
