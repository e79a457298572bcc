#include "cases/material.hpp"

#include <algorithm>

namespace thawline::cases {

double Property::at(double x) const {
  // Written so that a value that is not a number stays within the table too.
  if (!(x > rows.front().at)) return rows.front().value;
  if (x >= rows.back().at) return rows.back().value;
  const auto upper = std::upper_bound(rows.begin(), rows.end(), x,
                                      [](double v, const TableRow& row) { return v < row.at; });
  const auto lower = upper - 1;
  const double share = (x - lower->at) / (upper->at - lower->at);
  return lower->value + share * (upper->value - lower->value);
}

namespace {

struct Solidus {
  double operator()(std::monostate) const { return 0; }
  double operator()(const SharpMelting& m) const { return m.point; }
  double operator()(const RangeMelting& m) const { return m.solidus; }
  double operator()(const LeverMelting& m) const { return m.eutectic_point; }
  double operator()(const DiluteMelting& m) const { return m.floor; }
  double operator()(const TableMelting& m) const {
    double last = m.rows.front().temperature;
    for (const auto& row : m.rows) {
      if (row.liquid_fraction > 0) break;
      last = row.temperature;
    }
    return last;
  }
};

struct Liquidus {
  double operator()(std::monostate) const { return 0; }
  double operator()(const SharpMelting& m) const { return m.point; }
  double operator()(const RangeMelting& m) const { return m.liquidus; }
  double operator()(const LeverMelting& m) const { return m.liquidus.at(m.composition); }
  double operator()(const DiluteMelting& m) const { return m.freezing_point; }
  double operator()(const TableMelting& m) const {
    for (const auto& row : m.rows) {
      if (row.liquid_fraction >= 1) return row.temperature;
    }
    return m.rows.back().temperature;
  }
};

}  // namespace

double solidus_of(const Material& material) { return std::visit(Solidus{}, material.melting); }

double liquidus_of(const Material& material) { return std::visit(Liquidus{}, material.melting); }

}  // namespace thawline::cases
