#include "mesh/network_builder.hpp"

#include <algorithm>
#include <cmath>

#include "mesh/box_faces.hpp"
#include "mesh/shape_factor.hpp"

namespace thawline::mesh {

namespace {

int index_of(std::vector<std::string>& names, const std::string& name) {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found != names.end()) return static_cast<int>(found - names.begin());
  names.push_back(name);
  return static_cast<int>(names.size()) - 1;
}

int size_of(const auto& list) { return static_cast<int>(list.size()); }

/// Target cell thickness: skins one cell, insulation 2.5 mm, melting packs 1.5 mm.
constexpr double skin_thickness = 6e-3;
constexpr double wall_cell = 2.5e-3;
constexpr double pack_cell = 1.5e-3;

}  // namespace

NetworkBuilder::NetworkBuilder(Network& network, const Resolution& resolution)
    : network_(network), resolution_(resolution) {}

int NetworkBuilder::add_material(const cases::Material& material, double liquid_mixing) {
  network_.materials.push_back({material, liquid_mixing});
  return size_of(network_.materials) - 1;
}

int NetworkBuilder::part(const std::string& name) { return index_of(network_.parts, name); }

int NetworkBuilder::path(const std::string& name) { return index_of(network_.paths, name); }

int NetworkBuilder::add_lumped(const std::string& name, int material, double volume, int part,
                               int item, const Start& start) {
  Cell cell;
  cell.material = material;
  cell.volume = volume;
  cell.part = part;
  cell.item = item;
  cell.start = start;
  lumped_.push_back(cell);
  network_.hubs.push_back({name, size_of(lumped_) - 1, item});
  return size_of(network_.hubs) - 1;
}

int NetworkBuilder::add_surface(const std::string& name, int item) {
  network_.hubs.push_back({name, -1, item});
  return size_of(network_.hubs) - 1;
}

void NetworkBuilder::begin_column(const std::string& name, int inner_hub, int outer_hub, int item) {
  column_ = {name, size_of(network_.cells), 0, inner_hub, outer_hub, item};
  depth_ = 0;
}

void NetworkBuilder::end_column() {
  column_.count = size_of(network_.cells) - column_.first;
  network_.columns.push_back(column_);
  const std::size_t first_face = add_column_faces(network_, column_);
  for (const auto& [cell, gap] : gaps_) {
    network_.faces[first_face + static_cast<std::size_t>(cell - column_.first)].gap =
        size_of(network_.gaps);
    network_.gaps.push_back(gap);
  }
  gaps_.clear();
}

int NetworkBuilder::cells_of_layer(double thickness, double target, int least, int most) const {
  const double wanted = std::ceil(thickness / target - 1e-9);
  const double count = std::clamp(wanted, static_cast<double>(least), static_cast<double>(most));
  return std::max(1, static_cast<int>(std::lround(count * resolution_.refinement)));
}

void NetworkBuilder::add_cells(int material, double thickness, int count, double area, double slope,
                               double y0, int part, const Start& inner, const Start& outer) {
  const double width = thickness / count;
  for (int i = 0; i < count; ++i) {
    const double a = y0 + i * width;
    const double middle = a + width / 2;
    Cell cell;
    cell.material = material;
    cell.volume = (area + slope * middle) * width;
    cell.depth = depth_ + width / 2;
    cell.width = width;
    cell.part = part;
    cell.item = column_.item;
    const double share = (i + 0.5) / count;
    cell.start = {inner.temperature + share * (outer.temperature - inner.temperature),
                  inner.liquid_fraction};
    cell.inner_shape = shape_between(area, slope, a, middle);
    cell.outer_shape = shape_between(area, slope, middle, a + width);
    network_.cells.push_back(cell);
    depth_ += width;
  }
}

void NetworkBuilder::add_melting_layer(int material, double thickness, double area, int part,
                                       const Start& start) {
  add_cells(material, thickness, cells_of_layer(thickness, pack_cell, 10, 60), area, 0, 0, part,
            start, start);
}

void NetworkBuilder::add_solid_slice(int material, double thickness, double area, int part,
                                     const Start& start) {
  add_cells(material, thickness, 1, area, 0, 0, part, start, start);
}

void NetworkBuilder::add_wall_layers(const cases::Wall& wall, double area, double slope,
                                     double gap_convection, const std::string& prefix,
                                     double inside, double outside) {
  const double total = thickness_of(wall);
  double y = 0;
  const auto temperature_at = [&](double depth) {
    return Start{inside + depth / total * (outside - inside), -1};
  };
  for (const auto& layer : wall) {
    const double thickness = thickness_of(layer);
    if (const auto* solid = std::get_if<cases::SolidLayer>(&layer)) {
      const int count =
          thickness <= skin_thickness && solid->material.conductivity_solid.at(283) > 0.1
              ? std::max(1, static_cast<int>(resolution_.refinement))
              : cells_of_layer(thickness, wall_cell, 6, 40);
      add_cells(add_material(solid->material, 1), thickness, count, area, slope, y,
                part(prefix + solid->material.name), temperature_at(y),
                temperature_at(y + thickness));
    } else {
      const auto& gap = std::get<cases::GapLayer>(layer);
      gaps_[size_of(network_.cells) - 1] = {gap.thickness, area + slope * (y + thickness / 2),
                                            gap_convection, gap.emissivity};
      depth_ += thickness;
    }
    y += thickness;
  }
}

void NetworkBuilder::add_rings(int material, double volume, double surface, int part,
                               const Start& start) {
  // A(r) = surface r/R, so that volume = surface R/2: the ends count as side surface.
  const double radius = 2 * volume / surface;
  const std::size_t innermost = network_.cells.size();
  add_cells(material, radius, cells_of_layer(radius, 2 * pack_cell, 10, 60), 0, surface / radius, 0,
            part, start, start);
  // ∫dr/A to the axis has no bound, and no heat crosses the axis. The inner half of the innermost
  // ring only measures how far a front in it has to go: as far as through its outer half.
  Cell& core = network_.cells[innermost];
  core.inner_shape = core.outer_shape;
}

Link NetworkBuilder::conductance(int a, int b, double watt_per_kelvin) const {
  Link link;
  link.a = a;
  link.b = b;
  link.conductance = watt_per_kelvin;
  return link;
}

Link NetworkBuilder::convection(int a, int b, double area, double length, Facing facing,
                                std::optional<double> coefficient) const {
  Link link = conductance(a, b, area * coefficient.value_or(0));
  if (coefficient) return link;
  link.law = Law::convection;
  link.area = area;
  link.length = length;
  link.facing = facing;
  return link;
}

Link NetworkBuilder::radiation(int a, int b, double emissive_area) const {
  Link link;
  link.a = a;
  link.b = b;
  link.law = Law::radiation;
  link.area = emissive_area;
  return link;
}

Link NetworkBuilder::to_outside(int a, Outside outside, Law law, double conductance,
                                int path) const {
  Link link;
  link.a = a;
  link.outside = outside;
  link.law = law;
  link.conductance = conductance;
  link.path = path;
  return link;
}

void NetworkBuilder::add(const Link& link) { network_.links.push_back(link); }

namespace {

using ShareAt = std::function<double(double)>;

/// Adds rows up to and with `high`, as many as straight lines between them need.
void add_rows(Cover& cover, const ShareAt& share_at, double high, double share_high, int halvings) {
  constexpr double off = 1e-3;
  const double middle = (cover.fraction.back() + high) / 2;
  const double share_middle = share_at(middle);
  const bool is_straight = std::abs(share_middle - (cover.share.back() + share_high) / 2) < off;
  if (!is_straight && halvings > 0) {
    add_rows(cover, share_at, middle, share_middle, halvings - 1);
    add_rows(cover, share_at, high, share_high, halvings - 1);
    return;
  }
  cover.fraction.push_back(high);
  cover.share.push_back(share_high);
}

}  // namespace

int NetworkBuilder::add_cover(int hub, const ShareAt& share_at) {
  Cover cover{hub, {0}, {share_at(0)}};
  constexpr int parts = 50;
  constexpr double end = 1 - 1e-6;
  for (int i = 0; i < parts; ++i) {
    const double high = end * (i + 1) / parts;
    add_rows(cover, share_at, high, share_at(high), 12);
  }
  network_.covers.push_back(cover);
  return size_of(network_.covers) - 1;
}

void NetworkBuilder::add_region(const Region& region) {
  network_.regions.push_back(region);
  region_hub_.push_back(-1);
}

void NetworkBuilder::add_region_of_hub(Region region, int hub) {
  region.cells = 1;
  network_.regions.push_back(region);
  region_hub_.push_back(hub);
}

int NetworkBuilder::cell_of(int hub) const {
  return size_of(network_.cells) + network_.hubs[static_cast<std::size_t>(hub)].cell;
}

std::optional<Probe> NetworkBuilder::extreme_of_rows(const std::string& name) const {
  Probe probe;
  probe.name = name;
  for (std::size_t r = 0; r < network_.regions.size(); ++r) {
    const Region& row = network_.regions[r];
    if (row.pieces == 0) continue;
    const std::string& item = network_.items[static_cast<std::size_t>(row.item)].name;
    if (name == item + " warmest") {
      probe.of = Probe::Of::warmest;
    } else if (name == item + " coldest") {
      probe.of = Probe::Of::coldest;
    } else {
      continue;
    }
    probe.item = row.item;
    if (region_hub_[r] >= 0) {
      probe.cells.push_back(cell_of(region_hub_[r]));
      probe.weights.push_back(1);
    } else {
      double volume = 0;
      for (int i = row.first; i < row.first + row.cells; ++i) {
        volume += network_.cells[static_cast<std::size_t>(i)].volume;
      }
      for (int i = row.first; i < row.first + row.cells; ++i) {
        probe.cells.push_back(i);
        probe.weights.push_back(network_.cells[static_cast<std::size_t>(i)].volume / volume);
      }
    }
    probe.row_ends.push_back(probe.cells.size());
  }
  if (probe.cells.empty()) return std::nullopt;
  return probe;
}

Probe NetworkBuilder::probe(const std::string& name, const AirSpace& air) const {
  Probe probe;
  probe.name = name;
  const int chain = size_of(network_.cells);
  if (name == "air") {
    for (const AirShare& part : air) {
      probe.cells.push_back(cell_of(part.hub));
      probe.weights.push_back(part.share);
    }
    return probe;
  }
  if (const auto extreme = extreme_of_rows(name)) return *extreme;
  const auto ends_with = [&name](const std::string& tail) {
    return name.size() > tail.size() && name.ends_with(tail);
  };
  std::string item = name;
  int kind = 0;
  for (std::size_t i = 0; i < network_.items.size(); ++i) {
    const auto& candidate = network_.items[i].name;
    if (name == candidate) {
      probe.item = static_cast<int>(i);
      kind = 0;
      break;
    }
    if (name == candidate + " core" || name == candidate + " surface") {
      probe.item = static_cast<int>(i);
      kind = ends_with(" core") ? 1 : 2;
    }
  }
  const Item& found = network_.items[static_cast<std::size_t>(probe.item)];
  const std::string part_name = (found.coolant ? "coolant " : "payload ") + found.name;
  const auto is_contents = [&](const Cell& cell) {
    return cell.item == probe.item &&
           network_.parts[static_cast<std::size_t>(cell.part)] == part_name;
  };
  // The core and the surface of cans in rows are means over the rows, the surface that of the
  // outermost ring.
  const bool in_rows =
      std::any_of(network_.regions.begin(), network_.regions.end(),
                  [&](const Region& r) { return r.pieces > 0 && r.item == probe.item; });
  for (const Column& column : network_.columns) {
    if (column.item != probe.item) continue;
    if (kind == 2 && !in_rows) probe.hub = found.coolant ? column.inner_hub : column.outer_hub;
    int last = column.first;
    for (int i = column.first; i < column.first + column.count; ++i) {
      const Cell& cell = network_.cells[static_cast<std::size_t>(i)];
      if (!is_contents(cell)) continue;
      last = i;
      if (kind == 0) {
        probe.cells.push_back(i);
        probe.weights.push_back(cell.volume);
      }
    }
    if (kind == 1 || (kind == 2 && in_rows)) {
      const int core = found.coolant ? (column.first + last) / 2 : column.first;
      probe.cells.push_back(kind == 1 ? core : last);
      probe.weights.push_back(network_.cells[static_cast<std::size_t>(last)].volume);
    }
  }
  const auto& grid = network_.grid;
  for (int i = grid.first; i < grid.first + grid.count; ++i) {
    const Cell& cell = network_.cells[static_cast<std::size_t>(i)];
    if (kind == 0 && is_contents(cell)) {
      probe.cells.push_back(i);
      probe.weights.push_back(cell.volume);
    }
  }
  if (kind != 0 && probe.cells.empty() && probe.hub < 0) {
    const MiddleOfItem& middle = middles_.at(probe.item);
    probe.hub = kind == 2 ? middle.surface : -1;
    if (kind == 1) probe.cells = {middle.cell};
    probe.weights.assign(probe.cells.size(), 1);
  }
  for (int i = 0; i < size_of(lumped_); ++i) {
    if (kind == 0 && is_contents(lumped_[static_cast<std::size_t>(i)])) {
      probe.cells.push_back(chain + i);
      probe.weights.push_back(lumped_[static_cast<std::size_t>(i)].volume);
    }
  }
  double sum = 0;
  for (const double w : probe.weights) sum += w;
  for (double& w : probe.weights) w /= sum;
  return probe;
}

void NetworkBuilder::finish() {
  for (std::size_t r = 0; r < network_.regions.size(); ++r) {
    if (region_hub_[r] >= 0) network_.regions[r].first = cell_of(region_hub_[r]);
  }
  network_.chain_cells = size_of(network_.cells) - network_.grid.count;
  for (auto& hub : network_.hubs) {
    if (hub.cell >= 0) hub.cell += size_of(network_.cells);
  }
  network_.cells.insert(network_.cells.end(), lumped_.begin(), lumped_.end());
  for (int i = 0; i < size_of(network_.cells); ++i) {
    const Cell& cell = network_.cells[static_cast<std::size_t>(i)];
    if (cell.item < 0) continue;
    Item& item = network_.items[static_cast<std::size_t>(cell.item)];
    item.all_cells.push_back(i);
    const std::string& part = network_.parts[static_cast<std::size_t>(cell.part)];
    if (part == (item.coolant ? "coolant " : "payload ") + item.name) item.cells.push_back(i);
  }
}

}  // namespace thawline::mesh
