#pragma once

#include <vector>

#include "cases/case.hpp"
#include "mesh/shape_factor.hpp"

namespace thawline::mesh {

/// K at which the conductivities of a wall are taken for its shape factors and in reports.
inline constexpr double report_temperature = 283.15;

/// A wall as conducting layers, from the inside; a closed gap as one that resists as much.
/// `gap_convection` (W/m2/K) as in correlations::gap_coefficient.
[[nodiscard]] std::vector<ConductingLayer> layers_of(const cases::Wall& wall,
                                                     double gap_convection);

/// m2 K/W of a plane wall.
[[nodiscard]] double resistance_of(const std::vector<ConductingLayer>& layers);

/// Heat across the edge where two walls meet, beyond their plane parts, per metre of inner edge and
/// kelvin, W/m/K: the faces inside and outside held at two temperatures. Walls of one and the same
/// material by `edge_excess`; others by finite volumes on the corner, each wall 3 thicknesses long,
/// their layers meeting as in a section (section::wall_at). Its error is below 1 % of the edge.
[[nodiscard]] double edge_conductance(const cases::Wall& one, const cases::Wall& other,
                                      double gap_convection_one, double gap_convection_other);

/// The same of a corner of three walls alike, W/K, by the edge (W/m/K) of two of them: 0.15 of
/// the thickness of one material; conducting layers inside count as if the box began behind them.
[[nodiscard]] double corner_conductance(const std::vector<ConductingLayer>& layers, double edge);

}  // namespace thawline::mesh
