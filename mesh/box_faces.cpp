#include "mesh/box_faces.hpp"

#include <algorithm>

#include "mesh/correlations/closed_gap.hpp"
#include "mesh/edge_conductance.hpp"
#include "mesh/shape_factor.hpp"

namespace thawline::mesh {

double horizontal_length(const cases::Box& box) {
  return inside_floor_area(box) / floor_perimeter(box);
}

namespace {

/// By what all its edges and corners carry, W/K.
void set_shape(BoxFace& face, double natural_slope, double edges, double corners) {
  const auto layers = layers_of(*face.wall, face.gap_convection);
  face.slope = natural_slope + slope_for_excess(face.area, natural_slope, layers, edges + corners);
  face.plane_conductance = 1 / resistance_between(face.area, natural_slope, layers);
  face.edge_conductance = edges;
  face.corner_conductance = corners;
}

/// What a metre of edge and a corner of the box add to the plane walls.
struct Joints {
  double upright = 0, base = 0, lid = 0;   ///< W/m/K
  double base_corner = 0, lid_corner = 0;  ///< W/K
};

double gap_convection_of_lid(const cases::Wall& lid) {
  double gap = 0.02;
  for (const auto& layer : lid) {
    if (const auto* air = std::get_if<cases::GapLayer>(&layer)) gap = air->thickness;
  }
  return correlations::gap_convection_down(gap);
}

bool alike(const std::vector<ConductingLayer>& a, const std::vector<ConductingLayer>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const ConductingLayer& x, const ConductingLayer& y) {
                      return x.thickness == y.thickness && x.conductivity == y.conductivity;
                    });
}

Joints joints_of(const cases::Box& box) {
  const double sideways = correlations::gap_convection_sideways();
  const double up = correlations::gap_convection_up();
  const double down = gap_convection_of_lid(box.lid);
  const auto sides = layers_of(box.sides, sideways);
  const auto base = layers_of(box.base, up);
  const auto lid = layers_of(box.lid, down);
  Joints joints;
  joints.upright = edge_conductance(box.sides, box.sides, sideways, sideways);
  joints.base =
      alike(sides, base) ? joints.upright : edge_conductance(box.sides, box.base, sideways, up);
  joints.lid =
      alike(base, lid) ? joints.base : edge_conductance(box.sides, box.lid, sideways, down);
  // Corner of two sides and the base or lid, by the mean of its walls.
  const double of_sides = corner_conductance(sides, joints.upright);
  const double of_base =
      alike(sides, base) ? of_sides
                         : corner_conductance(base, edge_conductance(box.base, box.base, up, up));
  const double of_lid =
      alike(base, lid) ? of_base
                       : corner_conductance(lid, edge_conductance(box.lid, box.lid, down, down));
  joints.base_corner = (2 * of_sides + of_base) / 3;
  joints.lid_corner = (2 * of_sides + of_lid) / 3;
  return joints;
}

}  // namespace

double upright_edge_conductance(const cases::Box& box) {
  const double sideways = correlations::gap_convection_sideways();
  return edge_conductance(box.sides, box.sides, sideways, sideways);
}

std::vector<BoxFace> box_faces(const cases::Box& box) {
  const double perimeter = floor_perimeter(box);
  const double height = inside_height(box);
  const bool round = std::holds_alternative<cases::RoundInside>(box.inside);
  const Joints joints = joints_of(box);
  const double base_edges = perimeter * joints.base / 2;
  const double lid_edges = perimeter * joints.lid / 2;
  const double base_corners = round ? 0 : 4 * joints.base_corner;
  const double lid_corners = round ? 0 : 4 * joints.lid_corner;
  const double upright_edges = round ? 0 : 4 * height * joints.upright;

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
  lid_face.gap_convection = gap_convection_of_lid(box.lid);
  set_shape(lid_face, 0, lid_edges, lid_corners / 3);
  return {floor_face, side_face, lid_face};
}

}  // namespace thawline::mesh
