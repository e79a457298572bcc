#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cases/material.hpp"

/// The case as plain data in SI units (m, kg, s, K, W). Nothing here knows a unit, a file or a
/// solver; `read_case` fills it and `mesh` reads it.
namespace thawline::cases {

/// A layer of solid material.
struct SolidLayer {
  Material material;
  double thickness = 0;  ///< m
};

/// A closed air gap between two layers (ISO 6946 convection + radiation across it).
struct GapLayer {
  double thickness = 0;     ///< m
  double emissivity = 0.9;  ///< of both faces
};

using Layer = std::variant<SolidLayer, GapLayer>;
/// Layers from the inside to the outside; the first and last are solid.
using Wall = std::vector<Layer>;

/// m; of a wall, the sum of its layers.
[[nodiscard]] double thickness_of(const Layer& layer);
[[nodiscard]] double thickness_of(const Wall& wall);

struct RectangularInside {
  double length = 0, width = 0, height = 0;  ///< m
};
struct RoundInside {
  double diameter = 0, height = 0;  ///< m
};

/// The empty box.
struct Box {
  std::variant<RectangularInside, RoundInside> inside;
  Wall sides, lid, base;
  double gasket_leak = 0;         ///< W/K, at any time
  double gasket_air_changes = 0;  ///< 1/s, of the free air space
  double inside_emissivity = 0.9;
  double outside_emissivity = 0.9;
  std::optional<double> inside_coefficient;  ///< W/m2/K; by correlation when empty
};

[[nodiscard]] double inside_height(const Box& box);      ///< m
[[nodiscard]] double inside_floor_area(const Box& box);  ///< m2
[[nodiscard]] double inside_side_area(const Box& box);   ///< m2
[[nodiscard]] double inside_volume(const Box& box);      ///< m3
[[nodiscard]] double floor_perimeter(const Box& box);    ///< m

enum class CoolantForm { loose, pack };
enum class Place { floor, lid, sides, around_payload, free };
enum class MeltWater { kept, drained };

/// Contact between a coolant and what it lies on or around.
struct Contact {
  double coefficient = 0;      ///< W/m2/K
  std::optional<double> area;  ///< m2; from the geometry when empty
  double of_contents = 0;      ///< W/m2/K, wet, of what stands in a loose coolant
};

/// How a coolant lay in a freezer before it was packed: its start follows from it
/// (solver/results/freeze_coolants.hpp).
struct Freezing {
  double air = 0;          ///< K, in the freezer
  double duration = 0;     ///< s
  double from = 0;         ///< K it went in with
  double coefficient = 0;  ///< W/m2/K on both faces, films and radiation
  double thickness = 0;    ///< m of a pack or of one layer; of a loose piece a third of its sphere
  bool settled = false;    ///< the start has been worked out
  double liquid = 0;       ///< share still liquid as it came out, once settled
  double temperature = 0;  ///< K, mean over it as it came out, once settled
};

/// Whole pieces a coolant comes in.
struct Pieces {
  double each = 0;  ///< kg
  int count = 0;
  double asked = 0;  ///< kg the whole pieces stand in for
};

struct Coolant {
  std::string name;
  Material material;
  double mass = 0;  ///< kg
  std::optional<Pieces> pieces;
  std::optional<Freezing> freezing;
  CoolantForm form = CoolantForm::pack;
  double thickness = 0;  ///< m, of a pack (all stacked layers together)
  Place place = Place::floor;
  double start = 0;  ///< K
  std::optional<double> start_liquid_fraction;
  MeltWater melt_water = MeltWater::kept;
  double liquid_mixing = 1;  ///< factor on the liquid's conductivity
  Contact contact;
};

/// Share of its space that loose pieces fill: common practice, no source.
inline constexpr double loose_packing = 0.6;

/// True for a pack on the floor, under the lid or at the sides.
[[nodiscard]] bool lies_on_wall(const Coolant& coolant);

[[nodiscard]] double volume_of(const Coolant& coolant);  ///< m3, without voids
/// m3 of the box that it takes up: with the voids between loose pieces.
[[nodiscard]] double space_of(const Coolant& coolant);
/// m3 of the melt: what to pour to freeze it.
[[nodiscard]] double liquid_volume_of(const Coolant& coolant);

/// The nearest number of whole pieces, at least one, to `kg`; sets the mass.
void take_whole_pieces(Coolant& coolant, double kg);

struct Cans {
  int count = 0;
  double volume = 0, diameter = 0, height = 0;  ///< m3, m, m, of one
  std::optional<Material> shell;
  double shell_thickness = 0;  ///< m
  bool radial = false;
};

struct FoodBlock {
  double mass = 0;       ///< kg
  double thickness = 0;  ///< m
};

/// What contents stand on.
struct Support {
  enum class On {
    what_is_below,  ///< packs on the floor and, beside them, the base; loose pieces
    pack,           ///< one pack on the floor
    base,
    nothing,  ///< held free
  };
  On on = On::what_is_below;
  std::string pack;            ///< name of the coolant
  double coefficient = 0;      ///< W/m2/K
  std::optional<double> area;  ///< m2; the whole footprint when empty
  bool leans = false;          ///< touches the side walls all round, up to its height
};

struct Payload {
  std::string name;
  Material contents;
  std::variant<Cans, FoodBlock> body;
  double start = 0;          ///< K
  double liquid_mixing = 1;  ///< factor on the liquid's conductivity
  Support stands;
};

[[nodiscard]] double mass_of(const Payload& payload);     ///< kg of contents
[[nodiscard]] double volume_of(const Payload& payload);   ///< m3, outside
[[nodiscard]] double surface_of(const Payload& payload);  ///< m2, outside

struct ConstantAir {
  double temperature = 0;  ///< K
};
/// T(t) = mean + swing cos(2π (t − warmest_at) / 24 h).
struct DailyWave {
  double mean = 0, swing = 0, warmest_at = 0;  ///< K, K, s after the start
};
/// Linear between rows, constant before the first and after the last.
struct Trace {
  std::vector<double> time;                      ///< s, increasing
  std::vector<double> temperature;               ///< K
  std::string file = {};                         ///< as the case names it
  std::shared_ptr<const std::string> text = {};  ///< the file as read; none for one made in memory
  std::string channel = {};                      ///< its name in the file
  std::string starts = {};                       ///< date and time of the first row, where known
  std::vector<std::string> notes = {};           ///< sentences on how the file was understood
};
using Air = std::variant<ConstantAir, DailyWave, Trace>;

/// Ambient temperature (K) at `time` (s).
[[nodiscard]] double temperature_at(const Air& air, double time);
[[nodiscard]] double temperature_at(const Trace& trace, double time);
/// Instant (s) up to which the ambient temperature is known: the last row of a trace, else
/// infinite.
[[nodiscard]] double known_until(const Air& air);
/// Mean ambient temperature (K) from the start to `duration` (s).
[[nodiscard]] double mean_temperature(const Air& air, double duration);

/// What the box stands in and on.
struct Surroundings {
  Air air;
  double outside_coefficient = 0;          ///< W/m2/K, convection on lid and sides
  bool long_wave = true;                   ///< exchange with surroundings at air temperature
  double base_coefficient = 0;             ///< W/m2/K, between the base and what it stands on
  std::optional<double> base_temperature;  ///< K; the air's when empty
};

struct OpenLid {
  double duration = 0;     ///< s
  double air_changes = 0;  ///< 1/s while open
};
struct AddItem {
  std::string item;
};
struct RemoveItem {
  std::string item;
};
/// What is done to the box, and when.
struct Happening {
  double at = 0;  ///< s
  std::variant<OpenLid, AddItem, RemoveItem> what;
};

enum class Side { not_above, not_below };

/// The key a case gives it by.
[[nodiscard]] const char* word_of(Side side);

/// A temperature that the warmest (coldest, for `not_below`) of some probes is to keep.
struct Limit {
  std::string name;
  std::vector<std::string> probes;
  Side side = Side::not_above;
  double temperature = 0;     ///< K
  double logger_error = 0.5;  ///< K, how far a logger's reading of it may be off
};

enum class Detail { one_d, two_d };

/// The grid of `detail: 2d`.
struct SectionGrid {
  double fineness = 1;  ///< 2 halves every cell
  int most_cells = 200000;
  /// W/m/K of the air inside, its slow circulation included; well mixed when empty.
  std::optional<double> air_conductivity;
};

/// For how long and how finely a case is computed, and what is written.
struct Run {
  double duration = 0;  ///< s
  Detail detail = Detail::one_d;
  std::string why_detail;   ///< a clause where the program chose it; empty when the case names it
  double accuracy = 0.05;   ///< K
  double output_every = 0;  ///< s
  bool fields = true;
  SectionGrid section;
};

/// All that a case file says, in SI: what the network is built and a march scheduled from.
struct Case {
  std::string title;
  Box box;
  std::vector<Coolant> coolants;
  std::vector<Payload> payloads;
  Surroundings surroundings;
  std::vector<Happening> happenings;  ///< by time
  std::vector<Limit> limits;
  Run run;
  std::vector<std::string> notices;  ///< sentences the user should see
  std::string text;                  ///< the file as read
  std::string file;                  ///< as named by the user
  /// The materials it takes from material files, as they stand there (YAML): with `text` and the
  /// text of a trace all that is needed to read it again.
  std::string materials_text;
};

/// The materials the case is made of, by name.
[[nodiscard]] std::map<std::string, Material> materials_of(const Case& c);

/// Gives a trace that ends before its run one more row at the end of the run, as warm as the last.
void keep_last_reading(Case& c);

/// True when cans and bottles have a place in the section and a temperature each row.
[[nodiscard]] bool has_rows(const Case& c, const Payload& payload);

/// Names of all probes the case offers: `air`, and for every coolant and payload its name (the
/// mean) and, where it has an inside, `NAME core` and `NAME surface`; of cans in rows
/// `NAME warmest` and `NAME coldest`, the mean of one row each.
[[nodiscard]] std::vector<std::string> probe_names(const Case& c);

/// True when the item is packed at the start, false when a happening adds it later.
[[nodiscard]] bool packed_at_start(const Case& c, const std::string& item);

}  // namespace thawline::cases
