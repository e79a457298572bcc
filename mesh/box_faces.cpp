#include "mesh/box_faces.hpp"

#include "mesh/correlations/closed_gap.hpp"
#include "mesh/shape_factor.hpp"

namespace thawline::mesh {

double horizontal_length(const cases::Box& box) {
  return inside_floor_area(box) / floor_perimeter(box);
}

namespace {

constexpr double report_temperature = 283.15;

/// ∫ dy/(k A) over the wall, K/W.
double resistance(const BoxFace& face, double slope) {
  double sum = 0;
  double y = 0;
  for (const auto& layer : *face.wall) {
    const double end = y + thickness_of(layer);
    if (const auto* solid = std::get_if<cases::SolidLayer>(&layer)) {
      sum += shape_between(face.area, slope, y, end) /
             solid->material.conductivity_solid.at(report_temperature);
    } else {
      const auto& gap = std::get<cases::GapLayer>(layer);
      sum += 1 / ((face.area + slope * (y + end) / 2) *
                  correlations::gap_coefficient(gap.thickness, face.gap_convection, gap.emissivity,
                                                report_temperature)
                      .value);
    }
    y = end;
  }
  return sum;
}

void set_shape(BoxFace& face, double natural_slope, double edges, double corners) {
  const double thickness = thickness_of(*face.wall);
  face.slope =
      natural_slope + slope_for_excess(face.area, natural_slope, thickness, edges + corners);
  const double all = 1 / resistance(face, face.slope);
  face.plane_conductance = 1 / resistance(face, natural_slope);
  const double extra = all - face.plane_conductance;
  face.corner_conductance = corners > 0 ? extra * corners / (edges + corners) : 0;
  face.edge_conductance = extra - face.corner_conductance;
}

}  // namespace

std::vector<BoxFace> box_faces(const cases::Box& box) {
  const double side = thickness_of(box.sides);
  const double lid = thickness_of(box.lid);
  const double base = thickness_of(box.base);
  const double perimeter = floor_perimeter(box);
  const double height = inside_height(box);
  const bool round = std::holds_alternative<cases::RoundInside>(box.inside);
  const double base_edges = perimeter * edge_excess(side, base) / 2;
  const double lid_edges = perimeter * edge_excess(side, lid) / 2;
  // Corner of two sides and the base or lid: 0.15 of the mean thickness, a third to each wall.
  const double base_corners = round ? 0 : 4 * corner_excess * (2 * side + base) / 3;
  const double lid_corners = round ? 0 : 4 * corner_excess * (2 * side + lid) / 3;
  const double upright_edges = round ? 0 : 4 * height * edge_excess(side, side);

  BoxFace floor_face{"base", cases::Place::floor, &box.base, inside_floor_area(box)};
  floor_face.length = horizontal_length(box);
  floor_face.facing_inside = Facing::up;
  floor_face.gap_convection = correlations::gap_convection_up();
  set_shape(floor_face, 0, base_edges, base_corners / 3);

  BoxFace side_face{"sides", cases::Place::sides, &box.sides, inside_side_area(box)};
  side_face.length = height;
  side_face.facing_inside = Facing::sideways;
  side_face.gap_convection = correlations::gap_convection_sideways();
  set_shape(side_face,
            round ? 2 * perimeter / std::get<cases::RoundInside>(box.inside).diameter * height : 0,
            base_edges + lid_edges + upright_edges, (base_corners + lid_corners) * 2 / 3);

  BoxFace lid_face{"lid", cases::Place::lid, &box.lid, inside_floor_area(box)};
  lid_face.length = horizontal_length(box);
  lid_face.facing_inside = Facing::down;
  double gap = 0.02;
  for (const auto& layer : box.lid) {
    if (const auto* air = std::get_if<cases::GapLayer>(&layer)) gap = air->thickness;
  }
  lid_face.gap_convection = correlations::gap_convection_down(gap);
  set_shape(lid_face, 0, lid_edges, lid_corners / 3);
  return {floor_face, side_face, lid_face};
}

}  // namespace thawline::mesh
