#include "mesh/section/add_section.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <utility>

#include "cases/input_error.hpp"
#include "mesh/correlations/closed_gap.hpp"
#include "mesh/inside_air.hpp"
#include "mesh/pack_edges.hpp"
#include "mesh/section/grid_plan.hpp"
#include "mesh/section/layout.hpp"
#include "mesh/section/lines.hpp"

namespace thawline::mesh::section {

namespace {

using cases::Place;

/// A place this far (m) from a surface is in the air beside it.
constexpr double parcel_reach = 1e-6;

constexpr int wall_body = 0;
int body_of_pack(int coolant) { return 1 + coolant; }

/// A closed air gap as a layer of a material with the same resistance: conductivity
/// d (max(c, 0.025/d) + E 4 σ T³) at its own temperature (ISO 6946, see gap_coefficient).
cases::Material gap_material(const cases::GapLayer& gap, double convection) {
  cases::Material air = inside_air();
  air.name = "air gap";
  cases::Property k;
  k.source = "ISO 6946:2017 Annex D";
  for (double t = 193; t <= 353; t += 4) {
    k.rows.push_back(
        {t, gap.thickness *
                correlations::gap_coefficient(gap.thickness, convection, gap.emissivity, t).value});
  }
  air.conductivity_solid = air.conductivity_liquid = k;
  return air;
}

class Section {
 public:
  Section(const Room& room, const AirParcels* parcels, Network& network, NetworkBuilder& build,
          const Resolution& resolution)
      : room_(room),
        parcels_(parcels),
        case_(*room.the_case),
        network_(network),
        build_(build),
        layout_(layout_of(case_)),
        faces_(box_faces(case_.box)) {
    spacing_ = refined(Spacing{}, resolution.refinement * case_.run.section.fineness);
  }

  void add() {
    const double water = room_.bath.highest();
    const Lines lines = lines_of(case_, layout_, water, spacing_);
    plan_.round = layout_.round;
    plan_.breadth = layout_.breadth;
    plan_.x = lines.x;
    plan_.z = lines.z;
    refuse_too_many();
    fill();
    surfaces_ = add_grid(plan_, network_, build_);
    measure_floor();
    for (const GridSurface& surface : surfaces_) join(surface);
    for (const PackPlace& pack : layout_.packs) set_middle(pack);
  }

 private:
  void refuse_too_many() const {
    const double cells = static_cast<double>(plan_.columns()) * plan_.rows();
    if (cells <= case_.run.section.most_cells) return;
    throw cases::InputError(
        fmt::format("{}: run.section: the grid would have {} x {} cells, about {:.0f} MB, and "
                    "most_cells is {}; "
                    "ask for a smaller fineness, or allow more",
                    case_.file, plan_.columns(), plan_.rows(), cells * section_bytes_per_cell / 1e6,
                    case_.run.section.most_cells));
  }

  [[nodiscard]] const BoxFace& face(Place place) const {
    for (const BoxFace& f : faces_) {
      if (f.place == place) return f;
    }
    return faces_.front();
  }

  void fill() {
    plan_.fill.reserve(static_cast<std::size_t>(plan_.columns()) *
                       static_cast<std::size_t>(plan_.rows()));
    for (int k = 0; k < plan_.rows(); ++k) {
      const double z = middle(plan_.z, k);
      for (int i = 0; i < plan_.columns(); ++i)
        plan_.fill.push_back(fill_at(middle(plan_.x, i), z));
    }
  }

  static double middle(const std::vector<double>& lines, int i) {
    return (lines[static_cast<std::size_t>(i)] + lines[static_cast<std::size_t>(i) + 1]) / 2;
  }

  Fill fill_at(double x, double z) {
    const bool inside = x < layout_.half_width && z > 0 && z < layout_.height;
    if (!inside) return wall_fill(x, z);
    for (const PackPlace& pack : layout_.packs) {
      if (x > pack.x0 && x < pack.x1 && z > pack.z0 && z < pack.z1) return pack_fill(pack.coolant);
    }
    return {};
  }

  Fill wall_fill(double x, double z) {
    const bool upper = z > layout_.height / 2;
    const Place level = upper ? Place::lid : Place::floor;
    const WallPlace place = wall_at(*face(Place::sides).wall, *face(level).wall, level,
                                    x - layout_.half_width, upper ? z - layout_.height : -z);
    const auto [material, part] = layer_of(place);
    const double ambient = temperature_at(case_.surroundings.air, 0);
    return {wall_body,
            material,
            part,
            -1,
            {room_.start + place.relative_depth * (ambient - room_.start), -1}};
  }

  /// Material and part of a layer, each made once.
  std::pair<int, int> layer_of(const WallPlace& place) {
    const auto key = std::pair{place.wall, place.layer};
    const auto found = layers_.find(key);
    if (found != layers_.end()) return found->second;
    const BoxFace& wall = face(place.wall);
    const auto& layer = (*wall.wall)[static_cast<std::size_t>(place.layer)];
    const auto* solid = std::get_if<cases::SolidLayer>(&layer);
    const cases::Material material =
        solid != nullptr ? solid->material
                         : gap_material(std::get<cases::GapLayer>(layer), wall.gap_convection);
    const std::pair made{build_.add_material(material, 1),
                         build_.part("wall " + wall.name + ": " + material.name)};
    layers_[key] = made;
    return made;
  }

  Fill pack_fill(int i) {
    const auto& coolant = case_.coolants[static_cast<std::size_t>(i)];
    auto& material = pack_material_[i];
    if (material == 0) {
      material = 1 + build_.add_material(coolant.material, coolant.liquid_mixing);
    }
    return {body_of_pack(i),
            material - 1,
            build_.part("coolant " + coolant.name),
            i,
            {coolant.start, coolant.start_liquid_fraction.value_or(-1)}};
  }

  /// Which wall a surface of the wall body is part of.
  [[nodiscard]] Place place_of(const GridSurface& s) const {
    if (s.axis == 0) return Place::sides;
    return s.z < layout_.height / 2 ? Place::floor : Place::lid;
  }

  /// Pack (index into Case::coolants) whose upper face `s` is part of, −1 for the bare base,
  /// nothing where no contents can stand.
  [[nodiscard]] std::optional<int> floor_of(const GridSurface& s) const {
    if (s.beyond != nothing || s.axis != 1 || s.low) return std::nullopt;
    if (s.body == wall_body) {
      return place_of(s) == Place::floor ? std::optional(-1) : std::nullopt;
    }
    const int pack = s.body - 1;
    const bool on_floor = case_.coolants[static_cast<std::size_t>(pack)].place == Place::floor;
    return on_floor ? std::optional(pack) : std::nullopt;
  }

  /// Whether `s` is under a row of contents.
  [[nodiscard]] static bool is_under(const StandingHub& standing, const GridSurface& s) {
    return s.x >= standing.x0 && s.x <= standing.x1;
  }

  /// Area (m2) under everything that stands in the section. A row that has no surface of what it
  /// stands on below it stands all over that.
  void measure_floor() {
    for (StandingHub& standing : room_.standing) {
      const auto area_below = [&] {
        double area = 0;
        for (const GridSurface& s : surfaces_) {
          if (floor_of(s) == standing.on.pack && is_under(standing, s)) area += s.area;
        }
        return area;
      };
      double area = area_below();
      if (area <= 0) {
        standing.x0 = 0;
        standing.x1 = std::numeric_limits<double>::infinity();
        area = area_below();
      }
      floor_area_.push_back(area);
    }
  }

  [[nodiscard]] StandingShares standing_at(const GridSurface& s) const {
    StandingShares shares;
    const auto floor = floor_of(s);
    if (!floor) return shares;
    for (std::size_t i = 0; i < room_.standing.size(); ++i) {
      const StandingHub& standing = room_.standing[i];
      if (standing.on.pack != *floor || !is_under(standing, s)) continue;
      shares.push_back({&standing, standing.on.area * std::min(1.0, s.area / floor_area_[i])});
    }
    return shares;
  }

  void join(const GridSurface& s) {
    if (s.body == wall_body) {
      join_wall(s);
    } else {
      join_pack(s);
    }
  }

  void join_wall(const GridSurface& s) {
    const Place place = place_of(s);
    if (s.beyond == outside) {
      join_outside(build_, room_, place, s.hub, s.area);
      return;
    }
    if (s.beyond == nothing) {
      const auto wet = covers_at(place, s.z);
      join_inside(build_, room_at(s), face(place), s.hub, s.area, nullptr, wet ? &*wet : nullptr,
                  standing_at(s));
      return;
    }
    const int item = s.beyond - 1;
    const Lying lying{item, surfaces_[static_cast<std::size_t>(s.opposite)].hub,
                      case_.coolants[static_cast<std::size_t>(item)].contact.coefficient};
    join_inside(build_, room_at(s), face(place), s.hub, s.area, &lying, nullptr, {});
  }

  /// How the bath covers a bare surface of the inside, `z` (m) its middle; nothing where it never
  /// does.
  std::optional<BathCovers> covers_at(Place place, double z) {
    if (room_.bath.hub < 0 || place == Place::lid) return std::nullopt;
    if (place == Place::floor) {
      if (!floor_covers_) floor_covers_ = covers_of_floor(build_, room_.bath);
      return floor_covers_;
    }
    if (z >= room_.bath.highest()) return std::nullopt;
    const auto k = static_cast<std::size_t>(interval(plan_.z, z));
    // A cell has one temperature, as a band of a column's wall has.
    return plan_.z[k + 1] <= room_.bath.lowest() && !room_.bath.bed.drained
               ? covers_between(build_, room_.bath, plan_.z[k], plan_.z[k + 1])
               : covers_of_band(build_, room_.bath, plan_.z[k], plan_.z[k + 1]);
  }

  void join_pack(const GridSurface& s) {
    const int item = s.body - 1;
    const auto& coolant = case_.coolants[static_cast<std::size_t>(item)];
    if (s.beyond == wall_body) return;  // joined from the wall's side
    if (s.beyond == nothing) {
      const Facing facing = s.axis == 0 ? Facing::sideways : s.low ? Facing::down : Facing::up;
      join_pack_to_air(build_, room_at(s), item, coolant.material.emissivity, s.hub, s.area,
                       convection_length(coolant, facing), facing, standing_at(s));
      return;
    }
    if (s.low) return;  // two packs: joined once, from the one below or inward
    const auto& other = case_.coolants[static_cast<std::size_t>(s.beyond - 1)];
    Link touch = build_.conductance(
        s.hub, surfaces_[static_cast<std::size_t>(s.opposite)].hub,
        s.area * std::min(coolant.contact.coefficient, other.contact.coefficient));
    touch.needs = item;
    touch.needs_too = s.beyond - 1;
    build_.add(touch);
  }

  /// The room with the air that a surface touches.
  [[nodiscard]] Room room_at(const GridSurface& s) const {
    Room room = room_;
    if (parcels_ == nullptr) return room;
    const double inward = s.low ? -parcel_reach : parcel_reach;
    room.air = parcels_->at(s.x + (s.axis == 0 ? inward : 0), s.z + (s.axis == 1 ? inward : 0));
    return room;
  }

  static double convection_length(const cases::Coolant& pack, Facing facing) {
    const bool broad = (pack.place == Place::sides) == (facing == Facing::sideways);
    if (!broad) return edge_length(pack, facing);
    const double side = std::sqrt(volume_of(pack) / pack.thickness);
    return facing == Facing::sideways ? side : side / 4;
  }

  /// The cell in the middle of a pack, and the surface towards the air nearest to that.
  void set_middle(const PackPlace& pack) {
    const double x = layout_.packs.empty() || pack.x0 > 0 ? (pack.x0 + pack.x1) / 2 : 0;
    const double z = (pack.z0 + pack.z1) / 2;
    NetworkBuilder::MiddleOfItem found;
    found.cell = network_.grid.cell[static_cast<std::size_t>(interval(plan_.z, z)) *
                                        static_cast<std::size_t>(plan_.columns()) +
                                    static_cast<std::size_t>(interval(plan_.x, x))];
    double nearest = 1e300;
    for (const GridSurface& s : surfaces_) {
      if (s.body != body_of_pack(pack.coolant) || s.beyond != nothing) continue;
      const double distance = std::hypot(s.x - x, s.z - z);
      if (distance < nearest) found.surface = s.hub;
      nearest = std::min(nearest, distance);
    }
    // A pack that shows nothing to the air: any face of it.
    for (const GridSurface& s : surfaces_) {
      if (found.surface < 0 && s.body == body_of_pack(pack.coolant)) found.surface = s.hub;
    }
    build_.set_middle(pack.coolant, found);
  }

  static int interval(const std::vector<double>& lines, double value) {
    const auto above = std::upper_bound(lines.begin(), lines.end() - 1, value);
    return std::max(0, static_cast<int>(above - lines.begin()) - 1);
  }

  Room room_;
  const AirParcels* parcels_;  ///< null where the air is well mixed
  const cases::Case& case_;
  Network& network_;
  NetworkBuilder& build_;
  Layout layout_;
  std::vector<BoxFace> faces_;
  Spacing spacing_;
  GridPlan plan_;
  std::vector<GridSurface> surfaces_;
  std::map<std::pair<Place, int>, std::pair<int, int>> layers_;
  std::map<int, int> pack_material_;
  std::optional<BathCovers> floor_covers_;
  std::vector<double> floor_area_;  ///< m2, by what stands in the room
};

}  // namespace

void add_section(const Room& room, const AirParcels* parcels, Network& network,
                 NetworkBuilder& build, const Resolution& resolution) {
  Section(room, parcels, network, build, resolution).add();
}

}  // namespace thawline::mesh::section
