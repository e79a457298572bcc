#include "mesh/section/payload_rows.hpp"

#include <algorithm>
#include <cmath>

namespace thawline::mesh::section {

namespace {

using cases::Place;

constexpr int most_rows = 12;    // side by side
constexpr int most_layers = 12;  // above each other

/// The room between packs.
struct Room {
  double half_width = 0, bottom = 0, top = 0;  ///< m
};

Room room_of(const cases::Case& c, const Layout& layout) {
  Room room{layout.half_width, 0, layout.height};
  for (const PackPlace& pack : layout.packs) {
    const Place place = c.coolants[static_cast<std::size_t>(pack.coolant)].place;
    if (place == Place::floor) room.bottom = std::max(room.bottom, pack.z1);
    if (place == Place::lid) room.top = std::min(room.top, pack.z0);
    if (place == Place::sides) room.half_width = std::min(room.half_width, pack.x0);
  }
  return room;
}

/// Cans that stand between two lines of x, all round the box, a square of their diameter each.
double cans_between(const Layout& layout, double diameter, double x0, double x1) {
  return layout.breadth.area(x0, x1) / (diameter * diameter);
}

/// Adds the rows of a payload from `z` (m) upward; returns the height they end at.
double stack(const cases::Cans& cans, int payload, const Layout& layout, double half_width,
             double z, std::vector<PayloadRow>& rows) {
  const int fit = std::max(1, static_cast<int>(std::floor(half_width / cans.diameter)));
  const int columns = std::min(fit, most_rows);
  const double width = std::min(half_width, fit * cans.diameter) / columns;
  std::vector<double> room;
  double in_layer = 0;
  for (int i = 0; i < columns; ++i) {
    room.push_back(
        std::max(1.0, std::floor(cans_between(layout, cans.diameter, i * width, (i + 1) * width))));
    in_layer += room.back();
  }
  const int merged = std::max(1, static_cast<int>(std::ceil(cans.count / in_layer / most_layers)));
  int left = cans.count;
  while (left > 0) {
    const double top = z + merged * cans.height;
    for (int i = 0; i < columns && left > 0; ++i) {
      const int here = std::min(left, merged * static_cast<int>(room[static_cast<std::size_t>(i)]));
      rows.push_back({payload, i * width, (i + 1) * width, z, top, here});
      left -= here;
    }
    z = top;
  }
  return z;
}

}  // namespace

std::vector<PayloadRow> payload_rows(const cases::Case& c, const Layout& layout) {
  const Room room = room_of(c, layout);
  std::vector<PayloadRow> rows;
  double z = room.bottom;
  for (std::size_t p = 0; p < c.payloads.size(); ++p) {
    const cases::Payload& payload = c.payloads[p];
    if (const auto* cans = std::get_if<cases::Cans>(&payload.body)) {
      z = stack(*cans, static_cast<int>(p), layout, room.half_width, z, rows);
    } else {
      const double top = z + volume_of(payload) / inside_floor_area(c.box);
      rows.push_back({static_cast<int>(p), 0, room.half_width, z, top, 0});
      z = top;
    }
  }
  const double squeeze = std::min(1.0, (room.top - room.bottom) / (z - room.bottom));
  for (PayloadRow& row : rows) {
    row.z0 = room.bottom + squeeze * (row.z0 - room.bottom);
    row.z1 = room.bottom + squeeze * (row.z1 - room.bottom);
  }
  return rows;
}

}  // namespace thawline::mesh::section
