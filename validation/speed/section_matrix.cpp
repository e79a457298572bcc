#include "speed/section_matrix.hpp"

#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include <algorithm>
#include <cmath>

#include "speed/nested_dissection.hpp"

namespace thawline::validation {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }
std::size_t at(sunindextype i) { return static_cast<std::size_t>(i); }

}  // namespace

SectionMatrix::SectionMatrix(const solver::HeatBalance& balance, SUNContext context)
    : context_(context),
      cells_(balance.cells()),
      surfaces_(balance.hubs()),
      pairs_(balance.coupled_pairs()),
      rows_(at(cells_ + surfaces_)) {
  for (int i = 0; i < cells_ + surfaces_; ++i) rows_[at(i)].push_back(i);
  for (const auto& [a, b] : pairs_) {
    if (b < 0) continue;
    rows_[at(a)].push_back(b);
    rows_[at(b)].push_back(a);
  }
  start_.push_back(0);
  for (auto& column : rows_) {
    std::sort(column.begin(), column.end());
    column.erase(std::unique(column.begin(), column.end()), column.end());
    start_.push_back(start_.back() + static_cast<sunindextype>(column.size()));
  }
  for (const auto& [a, b] : pairs_) {
    const bool outside = b < 0;
    entries_.push_back({place(a, a), outside ? -1 : place(b, a), outside ? -1 : place(a, b),
                        outside ? -1 : place(b, b)});
  }
  for (int i = 0; i < cells_ + surfaces_; ++i) diagonal_.push_back(place(i, i));
}

sunindextype SectionMatrix::place(int row, int column) const {
  const auto& in = rows_[at(column)];
  return start_[at(column)] + (std::lower_bound(in.begin(), in.end(), row) - in.begin());
}

Matrix SectionMatrix::make_whole() const {
  const int n = cells_ + surfaces_;
  return Matrix(SUNSparseMatrix(n, n, start_.back(), CSC_MAT, context_));
}

Matrix SectionMatrix::make_surfaces() const {
  return Matrix(
      SUNSparseMatrix(surfaces_, surfaces_, start_.back() - start_[at(cells_)], CSC_MAT, context_));
}

void SectionMatrix::fill(SUNMatrix matrix, const solver::HeatBalance& balance,
                         const solver::State& state, const std::vector<double>& couplings,
                         double own, double scale) const {
  std::copy(start_.begin(), start_.end(), SUNSparseMatrix_IndexPointers(matrix));
  sunindextype* rows = SUNSparseMatrix_IndexValues(matrix);
  for (const auto& column : rows_) rows = std::copy(column.begin(), column.end(), rows);
  double* values = SUNSparseMatrix_Data(matrix);
  std::fill(values, values + start_.back(), 0.0);
  for (int i = 0; i < cells_; ++i) values[diagonal_[at(i)]] = own;
  for (int h = 0; h < surfaces_; ++h) {
    // Lumped hubs are cells; their place among the surfaces is idle.
    if (!balance.is_surface(h)) values[diagonal_[at(cells_ + h)]] = 1;
  }
  const auto row_scale = [&](int unknown) { return unknown < cells_ ? scale : 1.0; };
  // What flows from a to b, by the unknown of a and by that of b.
  const auto add = [&](std::size_t pair, double by_a, double by_b) {
    const auto [a, b] = pairs_[pair];
    const Entry& entry = entries_[pair];
    values[entry.aa] += row_scale(a) * by_a;
    if (b < 0) return;
    values[entry.ab] += row_scale(a) * by_b;
    values[entry.ba] -= row_scale(b) * by_a;
    values[entry.bb] -= row_scale(b) * by_b;
  };
  const auto& slopes = balance.cell_states().slope;
  const auto slope = [&](int unknown) { return unknown < cells_ ? slopes[at(unknown)] : 1.0; };
  const auto& network = balance.network();
  const std::size_t first_link = network.faces.size();
  for (std::size_t k = 0; k < pairs_.size(); ++k) {
    const auto [a, b] = pairs_[k];
    if (a == b) continue;
    double by_a = couplings[k];
    double by_b = couplings[k];
    if (k >= first_link && k < first_link + network.links.size() &&
        network.links[k - first_link].law == mesh::Law::radiation && b >= 0) {
      // The coupling is the mean of the two, σ ε A 2 (T_a³ + T_b³).
      const auto& link = network.links[k - first_link];
      const double ta = std::pow(balance.hub_temperature(state, link.a), 3);
      const double tb = std::pow(balance.hub_temperature(state, link.b), 3);
      by_a *= 2 * ta / (ta + tb);
      by_b *= 2 * tb / (ta + tb);
    }
    add(k, by_a * slope(a), b < 0 ? 0 : -by_b * slope(b));
  }
  const auto& flows = balance.faces();
  for (std::size_t f = 0; f < flows.count(); ++f) add(f, flows.by_a[f], flows.by_b[f]);
}

void SectionMatrix::take_surfaces(SUNMatrix surfaces, SUNMatrix whole) const {
  const double* values = SUNSparseMatrix_Data(whole);
  sunindextype* start = SUNSparseMatrix_IndexPointers(surfaces);
  sunindextype* rows = SUNSparseMatrix_IndexValues(surfaces);
  double* taken = SUNSparseMatrix_Data(surfaces);
  sunindextype count = 0;
  for (int h = 0; h < surfaces_; ++h) {
    start[h] = count;
    const auto& column = rows_[at(cells_ + h)];
    for (std::size_t k = 0; k < column.size(); ++k) {
      if (column[k] < cells_) continue;
      rows[count] = column[k] - cells_;
      taken[count] = values[at(start_[at(cells_ + h)]) + k];
      ++count;
    }
  }
  start[surfaces_] = count;
}

LinearSolver make_klu(N_Vector like, SUNMatrix matrix, PeerSettings::Ordering ordering,
                      SUNContext context) {
  LinearSolver solver(SUNLinSol_KLU(like, matrix, context));
  auto* common = SUNLinSol_KLUGetCommon(solver.get());
  common->ordering = static_cast<int>(ordering);
  common->user_order = nested_dissection;
  return solver;
}

}  // namespace thawline::validation
