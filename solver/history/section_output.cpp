#include "solver/history/section_output.hpp"

#include <fmt/format.h>

#include <array>

#include "solver/history/file_kind.hpp"
#include "solver/history/h5_file.hpp"

namespace thawline::solver::history {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

constexpr double report_temperature = 283.15;

struct Place {
  int i = 0, k = 0;  ///< column and row of the grid
};

std::vector<Place> places_of(const mesh::Grid& grid) {
  std::vector<Place> places(at(grid.count));
  const int columns = static_cast<int>(grid.x.size()) - 1;
  for (std::size_t p = 0; p < grid.cell.size(); ++p) {
    if (grid.cell[p] < 0) continue;
    const int place = static_cast<int>(p);
    places[at(grid.cell[p] - grid.first)] = {place % columns, place / columns};
  }
  return places;
}

void add_quads(H5::Group& group, const mesh::Grid& grid, const std::vector<Place>& places) {
  std::vector<double> nodes;
  for (const double z : grid.z) {
    for (const double x : grid.x) nodes.insert(nodes.end(), {x, z});
  }
  std::vector<int> corners;
  const int line = static_cast<int>(grid.x.size());
  for (const Place& p : places) {
    const int low = p.k * line + p.i;
    corners.insert(corners.end(), {low, low + 1, low + line + 1, low + line});
  }
  add_matrix(group, "nodes", H5::PredType::IEEE_F64LE, H5::PredType::NATIVE_DOUBLE, nodes.data(),
             nodes.size() / 2, 2, {"m", "x (or r) and z of the corners of cells"});
  add_matrix(group, "quads", H5::PredType::STD_I32LE, H5::PredType::NATIVE_INT, corners.data(),
             places.size(), 4, {"1", "corners of each cell of the section, indices into nodes"});
}

void add_surfaces(H5::Group& grid_group, const mesh::Network& network,
                  const std::vector<Place>& places) {
  const mesh::Grid& grid = network.grid;
  std::vector<char> is_outer(network.hubs.size(), 0);
  for (const auto& link : network.links) {
    if (link.outside != mesh::Outside::none) is_outer[at(link.a)] = 1;
  }
  std::vector<int> cell;
  std::vector<int> axis;
  std::vector<int> outer;
  std::vector<double> x;
  std::vector<double> z;
  std::vector<double> area;
  std::vector<double> conductance;
  for (const auto& face : mesh::grid_faces(network)) {
    if (face.hub < 0) continue;
    const bool on_low_side = face.low < 0;
    const int c = on_low_side ? face.high : face.low;
    const Place p = places[at(c - grid.first)];
    const double x0 = grid.x[at(p.i)];
    const double x1 = grid.x[at(p.i) + 1];
    const double z0 = grid.z[at(p.k)];
    const double z1 = grid.z[at(p.k) + 1];
    cell.push_back(c);
    axis.push_back(face.axis);
    outer.push_back(is_outer[at(face.hub)]);
    if (face.axis == 0) {
      x.push_back(on_low_side ? x0 : x1);
      z.push_back((z0 + z1) / 2);
      area.push_back(grid.breadth.at(x.back()) * (z1 - z0));
    } else {
      x.push_back((x0 + x1) / 2);
      z.push_back(on_low_side ? z0 : z1);
      area.push_back(grid.breadth.area(x0, x1));
    }
    const auto& material = network.materials[at(network.cells[at(c)].material)].material;
    conductance.push_back(material.conductivity_solid.at(report_temperature) /
                          (on_low_side ? face.high_shape : face.low_shape));
  }
  H5::Group group = grid_group.createGroup("surface");
  add_integers(group, "cell", cell, {"1", "the cell behind the surface"});
  add_integers(group, "axis", axis, {"1", "0: normal to x (or r), 1: normal to z"});
  add_integers(group, "outer", outer, {"1", "1 where it meets the surroundings"});
  add_doubles(group, "x", x, {"m", "middle of the surface, x or r"});
  add_doubles(group, "z", z, {"m", "middle of the surface, z"});
  add_doubles(group, "area", area, {"m2", "area, all round the box"});
  add_doubles(group, "conductance", conductance,
              {"W/K", "from the surface to the middle of its cell, solid at 10 degC"});
}

}  // namespace

namespace {

void add_regions(H5::Group& grid_group, const std::vector<mesh::Region>& regions) {
  std::array<std::vector<double>, 4> ends;
  std::vector<int> first;
  std::vector<int> cells;
  std::vector<int> item;
  std::vector<int> pieces;
  for (const mesh::Region& r : regions) {
    const std::array<double, 4> of_region{r.x0, r.x1, r.z0, r.z1};
    for (std::size_t i = 0; i < 4; ++i) ends[i].push_back(of_region[i]);
    first.push_back(r.first);
    cells.push_back(r.cells);
    item.push_back(r.item);
    pieces.push_back(r.pieces);
  }
  H5::Group group = grid_group.createGroup("region");
  const std::array<const char*, 4> names{"x_from", "x_to", "z_from", "z_to"};
  for (std::size_t i = 0; i < 4; ++i) {
    add_doubles(group, names[i], ends[i], {"m", "end of the rectangle, x from the middle outward"});
  }
  add_integers(group, "first", first, {"1", "the first cell of its contents"});
  add_integers(group, "cells", cells, {"1", "how many cells follow each other from there"});
  add_integers(group, "item", item, {"1", "coolants, then payloads, from 0; -1: air"});
  add_integers(group, "pieces", pieces, {"1", "cans in it; 0: air or a block"});
}

}  // namespace

std::vector<int> surface_hubs(const mesh::Network& network) {
  std::vector<int> hubs;
  for (const auto& face : mesh::grid_faces(network)) {
    if (face.hub >= 0) hubs.push_back(face.hub);
  }
  return hubs;
}

void add_section_grid(H5::Group& grid_group, const mesh::Network& network) {
  const mesh::Grid& grid = network.grid;
  const std::vector<Place> places = places_of(grid);
  H5::Group group = grid_group.createGroup("section");
  write_integer(group, "round", grid.round ? 1 : 0);
  std::vector<double> breadth;
  for (const double x : grid.x) breadth.push_back(grid.breadth.at(x));
  add_doubles(group, "breadth", breadth, {"m", "breadth all round the box at each line of x"});
  add_doubles(group, "x", grid.x, {"m", "lines of the grid from the middle (or axis) outward"});
  add_doubles(group, "z", grid.z, {"m", "lines of the grid upward, 0 at the floor inside"});
  add_matrix(group, "cell", H5::PredType::STD_I32LE, H5::PredType::NATIVE_INT, grid.cell.data(),
             grid.z.size() - 1, grid.x.size() - 1,
             {"1", "index of the cell by row and column, -1 for none"});
  add_quads(group, grid, places);
  add_surfaces(grid_group, network, places);
  if (!network.regions.empty()) add_regions(grid_group, network.regions);
}

namespace {

std::string in_xml(const std::string& text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

}  // namespace

std::string xdmf_of(const std::string& history_file, const mesh::Network& network,
                    const std::vector<double>& times) {
  const std::string history_name = in_xml(history_file);
  const mesh::Grid& grid = network.grid;
  const std::size_t nodes = grid.x.size() * grid.z.size();
  std::string text =
      std::string(xdmf_head) +
      "<Xdmf Version=\"3.0\"><Domain>\n"
      "<Grid Name=\"section\" GridType=\"Collection\" CollectionType=\"Temporal\">\n";
  for (std::size_t t = 0; t < times.size(); ++t) {
    text += fmt::format(
        "<Grid Name=\"section\"><Time Value=\"{:.6g}\"/>\n"
        "<Topology TopologyType=\"Quadrilateral\" NumberOfElements=\"{}\">"
        "<DataItem Dimensions=\"{} 4\" NumberType=\"Int\" Format=\"HDF\">{}:/grid/section/quads"
        "</DataItem></Topology>\n"
        "<Geometry GeometryType=\"XY\"><DataItem Dimensions=\"{} 2\" NumberType=\"Float\" "
        "Precision=\"8\" Format=\"HDF\">{}:/grid/section/nodes</DataItem></Geometry>\n",
        times[t], grid.count, grid.count, history_name, nodes, history_name);
    for (const std::string name : {"temperature", "enthalpy", "liquid_fraction"}) {
      text += fmt::format(
          "<Attribute Name=\"{0}\" Center=\"Cell\"><DataItem ItemType=\"HyperSlab\" "
          "Dimensions=\"{1}\" Type=\"HyperSlab\"><DataItem Dimensions=\"3 2\" Format=\"XML\">"
          "{2} {3} 1 1 1 {1}</DataItem><DataItem Dimensions=\"{4} {5}\" NumberType=\"Float\" "
          "Precision=\"8\" Format=\"HDF\">{6}:/fields/{0}</DataItem></DataItem></Attribute>\n",
          name, grid.count, t, grid.first, times.size(), network.cells.size(), history_name);
    }
    text += "</Grid>\n";
  }
  return text + "</Grid></Domain></Xdmf>\n";
}

}  // namespace thawline::solver::history
