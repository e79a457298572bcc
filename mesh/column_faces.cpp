#include "mesh/network.hpp"

namespace thawline::mesh {

std::size_t add_column_faces(Network& network, const Column& column) {
  const std::size_t first_face = network.faces.size();
  const auto cell = [&](int i) -> const Cell& {
    return network.cells[static_cast<std::size_t>(i)];
  };
  const int last = column.first + column.count - 1;
  for (int i = column.first; i < last; ++i) {
    network.faces.push_back({i, i + 1, -1, 0, cell(i).outer_shape, cell(i + 1).inner_shape});
  }
  if (column.inner_hub >= 0) {
    const double shape = cell(column.first).inner_shape;
    network.faces.push_back({-1, column.first, column.inner_hub, 0, 0, shape});
  }
  if (column.outer_hub >= 0) {
    network.faces.push_back({last, -1, column.outer_hub, 0, cell(last).outer_shape, 0});
  }
  return first_face;
}

}  // namespace thawline::mesh
