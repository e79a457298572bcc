#include "mesh/section/grid_plan.hpp"

namespace thawline::mesh::section {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

class GridCells {
 public:
  GridCells(const GridPlan& plan, Network& network, NetworkBuilder& build)
      : plan_(plan), network_(network), grid_(network.grid), build_(build) {}

  std::vector<GridSurface> add() {
    grid_.round = plan_.round;
    grid_.breadth = plan_.breadth;
    grid_.x = plan_.x;
    grid_.z = plan_.z;
    add_cells();
    for (int k = 0; k < plan_.rows(); ++k) {
      for (int i = 0; i <= plan_.columns(); ++i) join(0, i - 1, k, i, k);
    }
    for (int k = 0; k <= plan_.rows(); ++k) {
      for (int i = 0; i < plan_.columns(); ++i) join(1, i, k - 1, i, k);
    }
    return std::move(surfaces_);
  }

 private:
  [[nodiscard]] bool inside(int i, int k) const {
    return i >= 0 && k >= 0 && i < plan_.columns() && k < plan_.rows();
  }
  [[nodiscard]] int body(int i, int k) const {
    return inside(i, k) ? plan_.at(i, k).body : outside;
  }
  [[nodiscard]] int cell(int i, int k) const {
    return grid_.cell[at(k) * at(plan_.columns()) + at(i)];
  }

  /// Area of a horizontal face between the lines of x, m2.
  [[nodiscard]] double level_area(int i) const {
    return plan_.breadth.area(plan_.x[at(i)], plan_.x[at(i) + 1]);
  }
  /// Area of an upright face at `x`, m2.
  [[nodiscard]] double upright_area(double x, int k) const {
    return plan_.breadth.at(x) * (plan_.z[at(k) + 1] - plan_.z[at(k)]);
  }

  void add_cells() {
    grid_.first = static_cast<int>(network_.cells.size());
    grid_.first_face = network_.faces.size();
    grid_.cell.assign(plan_.fill.size(), -1);
    for (int k = 0; k < plan_.rows(); ++k) {
      for (int i = 0; i < plan_.columns(); ++i) {
        const Fill& fill = plan_.at(i, k);
        if (fill.body == nothing) continue;
        Cell made;
        made.material = fill.material;
        made.volume = level_area(i) * (plan_.z[at(k) + 1] - plan_.z[at(k)]);
        made.part = fill.part;
        made.item = fill.item;
        made.start = fill.start;
        grid_.cell[at(k) * at(plan_.columns()) + at(i)] = grid_.first + grid_.count++;
        network_.cells.push_back(made);
      }
    }
  }

  /// ∫ dy/A over the half of a cell towards its face, 1/m.
  [[nodiscard]] double half_shape(int axis, bool low_half, int i, int k) const {
    if (axis == 1) return 0.5 * (plan_.z[at(k) + 1] - plan_.z[at(k)]) / level_area(i);
    const double a = plan_.x[at(i)];
    const double b = plan_.x[at(i) + 1];
    const double middle = (a + b) / 2;
    const double shape =
        low_half ? across(plan_.breadth, a, middle) : across(plan_.breadth, middle, b);
    return shape / (plan_.z[at(k) + 1] - plan_.z[at(k)]);
  }

  void join(int axis, int i0, int k0, int i1, int k1) {
    const int low = body(i0, k0);
    const int high = body(i1, k1);
    if (low < 0 && high < 0) return;
    if (low == outside && !plan_.open[at(2 * axis)]) return;
    if (high == outside && !plan_.open[at(2 * axis + 1)]) return;
    Face face;
    face.axis = axis;
    if (low >= 0) {
      face.low = cell(i0, k0);
      face.low_shape = half_shape(axis, false, i0, k0);
    }
    if (high >= 0) {
      face.high = cell(i1, k1);
      face.high_shape = half_shape(axis, true, i1, k1);
    }
    if (low == high) {
      network_.faces.push_back(face);
      return;
    }
    const int i = low >= 0 ? i0 : i1;
    const int k = low >= 0 ? k0 : k1;
    GridSurface surface;
    surface.axis = axis;
    surface.area = axis == 0 ? upright_area(plan_.x[at(i1)], k) : level_area(i);
    surface.x = axis == 0 ? plan_.x[at(i1)] : (plan_.x[at(i)] + plan_.x[at(i) + 1]) / 2;
    surface.z = axis == 1 ? plan_.z[at(k1)] : (plan_.z[at(k)] + plan_.z[at(k) + 1]) / 2;
    const int index = static_cast<int>(surfaces_.size());
    const bool both = low >= 0 && high >= 0;
    if (low >= 0) {
      surface.opposite = both ? index + 1 : -1;
      add_surface(surface, face, false, low, high);
    }
    if (high >= 0) {
      surface.opposite = both ? index : -1;
      add_surface(surface, face, true, high, low);
    }
  }

  /// A surface on the low side of the face's `high` cell, or on the high side of its `low` cell.
  void add_surface(GridSurface surface, Face face, bool low_side, int own, int beyond) {
    surface.cell = low_side ? face.high : face.low;
    surface.low = low_side;
    surface.body = own;
    surface.beyond = beyond;
    surface.hub = build_.add_surface("", network_.cells[at(surface.cell)].item);
    (low_side ? face.low : face.high) = -1;
    (low_side ? face.low_shape : face.high_shape) = 0;
    face.hub = surface.hub;
    network_.faces.push_back(face);
    surfaces_.push_back(surface);
  }

  const GridPlan& plan_;
  Network& network_;
  Grid& grid_;
  NetworkBuilder& build_;
  std::vector<GridSurface> surfaces_;
};

}  // namespace

std::vector<GridSurface> add_grid(const GridPlan& plan, Network& network, NetworkBuilder& build) {
  return GridCells(plan, network, build).add();
}

}  // namespace thawline::mesh::section
