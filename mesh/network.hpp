#pragma once

#include <span>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "mesh/breadth.hpp"

/// Cells that hold enthalpy, joined by links that carry heat. Plain data in SI; the solver reads
/// it.
///
/// Chain cells lie in columns, each joined to its neighbours only; grid cells lie in a section and
/// have up to four neighbours. Hubs are where columns, faces of the grid and bodies meet: a lumped
/// hub holds enthalpy (the air space, a stirred ice bath, a can), a surface hub holds none (the
/// face of a wall or a pack).
namespace thawline::mesh {

/// A material as a cell sees it.
struct CellMaterial {
  cases::Material material;
  double liquid_mixing = 1;  ///< factor on the liquid's conductivity
};

/// How much of a cell's enthalpy it starts with: at a temperature, or melted to a fraction.
struct Start {
  double temperature = 0;       ///< K
  double liquid_fraction = -1;  ///< used when ≥ 0
};

/// One cell: a layer slice of a column, or a lumped body.
struct Cell {
  int material = 0;   ///< index into Network::materials
  double volume = 0;  ///< m3
  double depth = 0;   ///< m, centre along the column from its inner end
  double width = 0;   ///< m, 0 when lumped
  int part = 0;       ///< index into Network::parts
  int item = -1;      ///< index into Network::items, −1 for the box itself
  Start start;
  /// ∫ dy/A over the inner and the outer half of the cell (1/m): resistance times conductivity.
  double inner_shape = 0, outer_shape = 0;
};

/// A closed air gap between two cells.
struct ClosedGap {
  double thickness = 0;   ///< m
  double area = 0;        ///< m2
  double convection = 0;  ///< W/m2/K, ISO 6946 table value for the direction of heat flow
  double emissivity = 0;  ///< of both faces
};

/// Two neighbours: cells of a column or of the grid, or a cell and the surface hub on its face. A
/// column is a grid one cell across.
struct Face {
  int low = -1, high = -1;  ///< cells, outward along a column or as x or z rises; −1: the hub
  int hub = -1;             ///< surface hub in place of the missing cell
  int axis = 0;             ///< 0: along a column, x or r; 1: z
  /// ∫ dy/A over the half cells towards the face (1/m); 0 on the hub's side.
  double low_shape = 0, high_shape = 0;
  int gap = -1;  ///< index into Network::gaps: what lies between the cells; −1: they touch
};

/// A row of cells from an inner to an outer end, each end on a hub or insulated (−1).
struct Column {
  std::string name;
  int first = 0, count = 0;  ///< cells [first, first + count)
  int inner_hub = -1, outer_hub = -1;
  int item = -1;
};

struct Hub {
  std::string name;
  int cell = -1;  ///< index of its lumped cell, −1 for a surface without heat capacity
  int item = -1;
};

/// A vertical section: cells on a tensor grid in x (or r) and z, x from the middle outward. What
/// lies at one x goes all round the box, over the breadth there.
struct Grid {
  bool round = false;  ///< x is a radius
  Breadth breadth;
  std::vector<double> x, z;    ///< m, lines of the grid; z = 0 is the floor inside
  std::vector<int> cell;       ///< by k (lines of x − 1) + i; −1 where there is no cell
  int first = 0, count = 0;    ///< cells [first, first + count)
  std::size_t first_face = 0;  ///< its faces are those of the network from here on
};

/// Which way a surface faces, for natural convection.
enum class Facing { sideways, up, down };

/// The other end of a link that leaves the model.
enum class Outside { none, air, ground };

enum class Law {
  conductance,  ///< constant W/K
  convection,   ///< natural convection on a surface, by correlation
  radiation,    ///< σ ε A (T_a⁴ − T_b⁴)
  gasket,       ///< constant W/K, air exchange through the gasket
  opening,      ///< only while the lid is open
  air_layers,   ///< constant W/K, and buoyant mixing while `a`, which lies below, is the warmer
  drink_film,   ///< natural convection of a drink, `b`, in a can whose wall is `a`
};

/// Which share of a link is in force, by how much of a lumped body has melted: linear between rows,
/// constant beyond them.
struct Cover {
  int hub = -1;                  ///< of the body
  std::vector<double> fraction;  ///< liquid fraction, increasing
  std::vector<double> share;     ///< 0…1
};

/// A link between two hubs, or a hub and the outside.
struct Link {
  int a = 0;
  int b = -1;  ///< hub; −1 when `outside` is set
  Outside outside = Outside::none;
  Law law = Law::conductance;
  double conductance = 0;  ///< W/K (conductance, gasket, air layers)
  double mixing = 0;       ///< W/K^(3/2) (air layers): heat carried up is this times ΔT^(3/2)
  double area = 0;         ///< m2 (convection, drink film: area; radiation: ε A)
  double length = 0;       ///< m, characteristic (convection), height (drink film)
  double diameter = 0;     ///< m (drink film)
  Facing facing = Facing::sideways;
  int cover = -1;                  ///< index into Network::covers; −1: always wholly in force
  int path = -1;                   ///< index into Network::paths, −1 inside the box
  int needs = -1, needs_too = -1;  ///< items that must be in the box
  int unless = -1;                 ///< item that must not be in the box
};

/// How the heat of a source depends on the temperature where it enters.
enum class SourceLaw {
  given,       ///< not at all
  thermostat,  ///< all of it up to a temperature, less and less up to another, none above
};

/// Heat that is brought in: by a heater, a fan, the sun on a face.
struct Source {
  struct Row {
    double time = 0;  ///< s
    double watt = 0;
  };
  int hub = -1;           ///< where it enters; −1: at `cell`
  int cell = -1;          ///< one that is not lumped
  int path = -1;          ///< index into Network::paths, its line in the energy budget
  std::vector<Row> rows;  ///< by time, one at least; the first holds before it, the last after it
  bool stepwise = true;   ///< constant from row to row; false: linear between rows
  SourceLaw law = SourceLaw::given;
  double full_up_to = 0, off_from = 0;  ///< K, of a thermostat; rising, and watts ≥ 0
  int needs = -1;                       ///< item that must be in the box
};

/// A temperature the user can name: a weighted mean of cells, or one surface hub; or the highest or
/// lowest of several such means.
struct Probe {
  enum class Of { mean, warmest, coldest };
  std::string name;
  std::vector<int> cells;
  std::vector<double> weights;  ///< sum 1, by row where there are rows
  int hub = -1;                 ///< used when there are no cells
  int item = -1;
  Of of = Of::mean;
  std::vector<std::size_t> row_ends = {};  ///< unless `mean`: where each row ends in `cells`
};

/// A part of the inside with a temperature of its own: some air, or a row of cans. A rectangle of
/// the section, m; x from the middle (or the axis) outward.
struct Region {
  double x0 = 0, x1 = 0, z0 = 0, z1 = 0;
  int first = 0, cells = 1;  ///< cells [first, first + cells) of its contents
  int item = -1;             ///< −1: air
  int pieces = 0;            ///< cans in it
};

/// A coolant or payload.
struct Item {
  std::string name;
  bool coolant = false;
  bool present_at_start = true;
  double mass = 0;             ///< kg of what melts or freezes
  int body = -1;               ///< item whose cells these are: itself, or the first of packs alike
  double share = 1;            ///< of that body's mass
  std::vector<int> cells;      ///< of that material
  std::vector<int> all_cells;  ///< shells too
};

/// Steady conductance of one wall by its parts, W/K.
struct WallConductance {
  std::string name;
  double plane = 0, edges = 0, corners = 0;
};

struct Network {
  std::vector<CellMaterial> materials;
  std::vector<Cell> cells;  ///< chain cells first, then those of the grid, then the lumped ones
  int chain_cells = 0;
  Grid grid;
  std::vector<Face> faces;  ///< of the columns, then of the grid
  std::vector<ClosedGap> gaps;
  std::vector<Column> columns;
  std::vector<Hub> hubs;
  std::vector<Link> links;
  std::vector<Cover> covers;
  std::vector<Source> sources;
  std::vector<Item> items;  ///< coolants, then payloads
  std::vector<Probe> probes;
  std::vector<std::string> parts;
  std::vector<std::string> paths;
  std::vector<WallConductance> walls;
  std::vector<Region> regions;  ///< of a section whose air conducts
  double free_air_volume = 0;   ///< m3
};

/// Cells that are not lumped: chain and grid.
[[nodiscard]] inline int spread_cells(const Network& network) {
  return network.chain_cells + network.grid.count;
}

[[nodiscard]] inline std::span<const Face> grid_faces(const Network& network) {
  return std::span(network.faces).subspan(network.grid.first_face);
}

/// Adds the faces of a column: between its cells from the inner end outward, then to the hubs at
/// its ends. Returns the index of the first one.
std::size_t add_column_faces(Network& network, const Column& column);

/// Cell sizes of a mesh. A refinement of 2 halves every cell.
struct Resolution {
  double refinement = 1;
};

/// The mesh that suits an accuracy (K): errors of the mesh fall with the square of the cell size,
/// so cells grow with the root of an accuracy rougher than 0.05 K, at most to 2.5 times their size.
/// They do not shrink for a finer one: hold times of the examples no longer change by 0.05 % when
/// all cells are halved.
[[nodiscard]] Resolution resolution_for(double accuracy);

/// Builds the network of a case, columns for `detail: 1d`, a section for `2d`, on the mesh that
/// suits its accuracy. Throws cases::InputError where a section cannot show the case or would have
/// too many cells, std::logic_error where the start of a coolant from a freezer is not settled.
[[nodiscard]] Network build_network(const cases::Case& c);
[[nodiscard]] Network build_network(const cases::Case& c, const Resolution& resolution);

}  // namespace thawline::mesh
