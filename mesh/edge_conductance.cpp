#include "mesh/edge_conductance.hpp"

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>

#include "mesh/correlations/closed_gap.hpp"
#include "mesh/section/layout.hpp"

namespace thawline::mesh {

namespace {

/// Lines of a wall from its inner face outward, two cells a layer at least, finer near the inside;
/// before them lines of what it meets, growing away from the corner over `length` (m).
std::vector<double> lines_across(const std::vector<ConductingLayer>& layers, double length) {
  double thickness = 0;
  for (const auto& layer : layers) thickness += layer.thickness;
  const double finest = thickness / 60;
  constexpr double growth = 1.35;
  std::vector<double> lines;
  for (double x = 0, step = finest; x < length; x += step, step *= growth) lines.push_back(-x);
  lines.push_back(-length);
  std::reverse(lines.begin(), lines.end());
  double begin = 0;
  for (const auto& layer : layers) {
    const double coarse = std::max(finest, 0.16 * begin + finest);
    const int cells = std::max(2, static_cast<int>(std::ceil(layer.thickness / coarse)));
    for (int i = 1; i <= std::min(cells, 12); ++i) {
      // Squares: the first cells of a layer are the finer ones.
      const double share = static_cast<double>(i) / std::min(cells, 12);
      lines.push_back(begin + layer.thickness * (0.4 * share + 0.6 * share * share));
    }
    begin += layer.thickness;
  }
  return lines;
}

/// The corner of two walls: `one` lies at x > 0, `other` at z > 0, the inside where both are below
/// 0 is 1 K, what is beyond both walls 0 K.
class Corner {
 public:
  Corner(const cases::Wall& one, const cases::Wall& other, std::vector<ConductingLayer> layers_one,
         std::vector<ConductingLayer> layers_other)
      : one_(one),
        other_(other),
        layers_one_(std::move(layers_one)),
        layers_other_(std::move(layers_other)) {
    length_ = 3 * std::max(thickness_of(one), thickness_of(other));
    x_ = lines_across(layers_one_, length_);
    z_ = lines_across(layers_other_, length_);
    columns_ = x_.size() - 1;
    rows_ = z_.size() - 1;
  }

  /// W/m/K beyond the plane walls.
  [[nodiscard]] double excess() const {
    const auto unknowns = static_cast<Eigen::Index>(columns_ * rows_);
    std::vector<Eigen::Triplet<double>> entries;
    Eigen::VectorXd inflow = Eigen::VectorXd::Zero(unknowns);
    std::vector<double> diagonal(columns_ * rows_, 0);
    const auto join = [&](std::size_t a, double ka, double half_a, bool b_there, std::size_t b,
                          double kb, double half_b, double width) {
      const double g = width / (half_a / ka + (b_there ? half_b / kb : 0));
      diagonal[a] += g;
      if (!b_there) return g;
      diagonal[b] += g;
      entries.emplace_back(static_cast<int>(a), static_cast<int>(b), -g);
      entries.emplace_back(static_cast<int>(b), static_cast<int>(a), -g);
      return g;
    };
    std::vector<std::pair<std::size_t, double>> to_inside;
    for (std::size_t k = 0; k < rows_; ++k) {
      for (std::size_t i = 0; i < columns_; ++i) {
        const std::size_t here = k * columns_ + i;
        if (is_inside(i, k)) {
          diagonal[here] = 1;  // not part of the system
          continue;
        }
        for (const int axis : {0, 1}) {
          const bool along_x = axis == 0;
          const std::size_t step = along_x ? 1 : columns_;
          const bool last = along_x ? i + 1 == columns_ : k + 1 == rows_;
          const bool first = along_x ? i == 0 : k == 0;
          const double half = (along_x ? width_x(i) : width_z(k)) / 2;
          const double across = along_x ? width_z(k) : width_x(i);
          if (last) {
            join(here, conductivity(i, k), half, false, 0, 0, 0, across);
          } else {
            const std::size_t in = along_x ? i + 1 : i;
            const std::size_t kn = along_x ? k : k + 1;
            const double other_half = (along_x ? width_x(in) : width_z(kn)) / 2;
            join(here, conductivity(i, k), half, true, here + step, conductivity(in, kn),
                 other_half, across);
          }
          const bool faces_inside = !first && (along_x ? is_inside(i - 1, k) : is_inside(i, k - 1));
          if (faces_inside) {
            const double g = join(here, conductivity(i, k), half, false, 0, 0, 0, across);
            inflow[static_cast<Eigen::Index>(here)] += g;
            to_inside.emplace_back(here, g);
          }
        }
      }
    }
    for (std::size_t i = 0; i < diagonal.size(); ++i) {
      entries.emplace_back(static_cast<int>(i), static_cast<int>(i), diagonal[i]);
    }
    Eigen::SparseMatrix<double> matrix(unknowns, unknowns);
    matrix.setFromTriplets(entries.begin(), entries.end());
    const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> solver(matrix);
    const Eigen::VectorXd temperature = solver.solve(inflow);
    double heat = 0;
    for (const auto& [cell, g] : to_inside) {
      heat += g * (1 - temperature[static_cast<Eigen::Index>(cell)]);
    }
    return heat - length_ / resistance_of(layers_one_) - length_ / resistance_of(layers_other_);
  }

 private:
  [[nodiscard]] double width_x(std::size_t i) const { return x_[i + 1] - x_[i]; }
  [[nodiscard]] double width_z(std::size_t k) const { return z_[k + 1] - z_[k]; }
  [[nodiscard]] bool is_inside(std::size_t i, std::size_t k) const {
    return x_[i + 1] <= 0 && z_[k + 1] <= 0;
  }
  [[nodiscard]] double conductivity(std::size_t i, std::size_t k) const {
    const auto place = section::wall_at(one_, other_, cases::Place::lid, (x_[i] + x_[i + 1]) / 2,
                                        (z_[k] + z_[k + 1]) / 2);
    const auto& layers = place.wall == cases::Place::sides ? layers_one_ : layers_other_;
    return layers[static_cast<std::size_t>(place.layer)].conductivity;
  }

  const cases::Wall& one_;
  const cases::Wall& other_;
  std::vector<ConductingLayer> layers_one_, layers_other_;
  double length_ = 0;
  std::vector<double> x_, z_;
  std::size_t columns_ = 0, rows_ = 0;
};

}  // namespace

std::vector<ConductingLayer> layers_of(const cases::Wall& wall, double gap_convection) {
  std::vector<ConductingLayer> layers;
  for (const auto& layer : wall) {
    const double thickness = thickness_of(layer);
    if (const auto* solid = std::get_if<cases::SolidLayer>(&layer)) {
      layers.push_back({thickness, solid->material.conductivity_solid.at(report_temperature)});
    } else {
      const auto& gap = std::get<cases::GapLayer>(layer);
      layers.push_back(
          {thickness, thickness * correlations::gap_coefficient(thickness, gap_convection,
                                                                gap.emissivity, report_temperature)
                                      .value});
    }
  }
  return layers;
}

double resistance_of(const std::vector<ConductingLayer>& layers) {
  double sum = 0;
  for (const auto& layer : layers) sum += layer.thickness / layer.conductivity;
  return sum;
}

double edge_conductance(const cases::Wall& one, const cases::Wall& other, double gap_convection_one,
                        double gap_convection_other) {
  const auto layers_one = layers_of(one, gap_convection_one);
  const auto layers_other = layers_of(other, gap_convection_other);
  const double k = layers_one.front().conductivity;
  const auto is_k = [k](const ConductingLayer& layer) { return layer.conductivity == k; };
  if (std::all_of(layers_one.begin(), layers_one.end(), is_k) &&
      std::all_of(layers_other.begin(), layers_other.end(), is_k)) {
    return k * edge_excess(thickness_of(one), thickness_of(other));
  }
  return Corner(one, other, layers_one, layers_other).excess();
}

double corner_conductance(const std::vector<ConductingLayer>& layers, double edge) {
  const auto most =
      std::max_element(layers.begin(), layers.end(), [](const auto& a, const auto& b) {
        return a.thickness / a.conductivity < b.thickness / b.conductivity;
      });
  // One material that resists as much, behind a layer of no resistance `deeper` thick.
  const double resistance = resistance_of(layers);
  const double thickness = most->conductivity * resistance;
  const double plain_edge = edge_excess(thickness, thickness) * most->conductivity;
  const double deeper = std::max(0.0, (edge - plain_edge) * resistance / 2);
  return corner_excess * thickness * most->conductivity + 3 * deeper * plain_edge +
         3 * deeper * deeper / resistance;
}

}  // namespace thawline::mesh
