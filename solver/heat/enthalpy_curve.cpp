#include "solver/heat/enthalpy_curve.hpp"

#include <algorithm>
#include <cmath>

namespace thawline::solver {

namespace {

constexpr double coldest = 20;    // K
constexpr double warmest = 1000;  // K
constexpr double celsius_zero = 273.15;

/// Rounded so that a piecewise linear T(h) follows a curved range within about 1e-4 of its span.
constexpr int range_pieces = 48;

/// ∫ c dT, exact for a piecewise linear table.
double sensible(const cases::Property& capacity, double from, double to) {
  std::vector<double> stops{from};
  for (const auto& row : capacity.rows) {
    if (row.at > from && row.at < to) stops.push_back(row.at);
  }
  stops.push_back(to);
  double sum = 0;
  for (std::size_t i = 1; i < stops.size(); ++i) {
    sum += (stops[i] - stops[i - 1]) * (capacity.at(stops[i]) + capacity.at(stops[i - 1])) / 2;
  }
  return sum;
}

/// Mass fraction of salt on the liquidus at `temperature`.
double salt_at(const cases::Property& liquidus, double temperature) {
  const auto& rows = liquidus.rows;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    if (temperature >= rows[i].value) {
      const double share = (temperature - rows[i - 1].value) / (rows[i].value - rows[i - 1].value);
      return rows[i - 1].at + share * (rows[i].at - rows[i - 1].at);
    }
  }
  return rows.back().at;
}

}  // namespace

void EnthalpyCurve::add(double temperature, double enthalpy, double fraction) {
  points_.push_back({enthalpy, temperature, fraction});
}

void EnthalpyCurve::add_sensible(const cases::Property& capacity, double from, double to,
                                 double fraction) {
  // Between table rows c varies, so T(h) is curved: cut each stretch into eight.
  std::vector<double> stops{from};
  for (std::size_t i = 0; i < capacity.rows.size(); ++i) {
    const double at = capacity.rows[i].at;
    if (i > 0) {
      const double before = capacity.rows[i - 1].at;
      for (int k = 1; k < 8; ++k) stops.push_back(before + k * (at - before) / 8);
    }
    stops.push_back(at);
  }
  stops.push_back(to);
  std::sort(stops.begin(), stops.end());
  double last = from;
  double enthalpy = points_.back().enthalpy;
  for (const double stop : stops) {
    if (stop <= last || stop > to) continue;
    enthalpy += sensible(capacity, last, stop);
    add(stop, enthalpy, fraction);
    last = stop;
  }
}

void EnthalpyCurve::add_mixed_step(const cases::Material& material, double to, double fraction,
                                   double latent) {
  const Point from = points_.back();
  const double f = (from.fraction + fraction) / 2;
  add(to,
      from.enthalpy + latent +
          (1 - f) * sensible(material.heat_capacity_solid, from.temperature, to) +
          f * sensible(material.heat_capacity_liquid, from.temperature, to),
      fraction);
}

void EnthalpyCurve::add_table(const cases::Material& material) {
  const auto& solid = material.heat_capacity_solid;
  const auto& rows = std::get<cases::TableMelting>(material.melting).rows;
  const double solid_end = cases::solidus_of(material);
  double zero = 0;
  for (const auto& row : rows) {
    if (row.temperature <= solid_end) zero = row.enthalpy;
  }
  add(coldest, rows.front().enthalpy - zero - sensible(solid, coldest, rows.front().temperature),
      rows.front().liquid_fraction);
  for (const auto& row : rows) add(row.temperature, row.enthalpy - zero, row.liquid_fraction);
}

void EnthalpyCurve::build(const cases::Material& material) {
  const auto& solid = material.heat_capacity_solid;
  const auto& liquid = material.heat_capacity_liquid;
  const auto start = [&](double end, double fraction) {
    add(coldest, 0, fraction);
    add_sensible(solid, coldest, end, fraction);
    const double shift = points_.back().enthalpy;
    for (auto& point : points_) point.enthalpy -= shift;
  };
  const auto mixed_step = [&](double to, double fraction, double latent) {
    add_mixed_step(material, to, fraction, latent);
  };
  if (std::holds_alternative<std::monostate>(material.melting)) {
    start(celsius_zero, 1);
    add_sensible(liquid, celsius_zero, warmest, 1);
    return;
  }
  if (const auto* m = std::get_if<cases::SharpMelting>(&material.melting)) {
    start(m->point, 0);
    add(m->point, points_.back().enthalpy + m->latent_heat, 1);
  } else if (const auto* r = std::get_if<cases::RangeMelting>(&material.melting)) {
    start(r->solidus, 0);
    for (int i = 1; i <= range_pieces; ++i) {
      const double f = static_cast<double>(i) / range_pieces;
      mixed_step(r->solidus + f * (r->liquidus - r->solidus), f, r->latent_heat / range_pieces);
    }
  } else if (const auto* l = std::get_if<cases::LeverMelting>(&material.melting)) {
    // At the eutectic point the eutectic part melts; above it ice dissolves along the liquidus.
    start(l->eutectic_point, 0);
    const double at_eutectic = l->composition / l->eutectic_composition;
    add(l->eutectic_point, points_.back().enthalpy + at_eutectic * l->eutectic_latent_heat,
        at_eutectic);
    const double top = l->liquidus.at(l->composition);
    double before = at_eutectic;
    for (int i = 1; i <= range_pieces; ++i) {
      const double t =
          l->eutectic_point + static_cast<double>(i) / range_pieces * (top - l->eutectic_point);
      const double f = i == range_pieces ? 1 : l->composition / salt_at(l->liquidus, t);
      mixed_step(t, f, (f - before) * l->latent_heat);
      before = f;
    }
  } else if (const auto* d = std::get_if<cases::DiluteMelting>(&material.melting)) {
    const double freezing = d->freezing_point - celsius_zero;
    const auto unfrozen = [&](double t) { return std::min(1.0, freezing / (t - celsius_zero)); };
    // Equal steps in the reciprocal temperature resolve the steep part near the freezing point.
    double before = unfrozen(d->floor);
    start(d->floor, before);
    for (int i = 1; i <= range_pieces; ++i) {
      const double f = before + (1 - before) / (range_pieces + 1 - i);
      const double t = i == range_pieces ? d->freezing_point : celsius_zero + freezing / f;
      mixed_step(t, f, (f - before) * d->water * d->latent_heat);
      before = f;
    }
  } else {
    add_table(material);
  }
  add_sensible(liquid, points_.back().temperature, warmest, 1);
}

EnthalpyCurve::EnthalpyCurve(const cases::Material& material) {
  sharp_ = std::holds_alternative<cases::SharpMelting>(material.melting);
  melts_ = material.melts();
  build(material);
  heat_capacity_ = material.heat_capacity_solid.rows.front().value;
  for (const auto& row : material.heat_capacity_solid.rows) {
    heat_capacity_ = std::min(heat_capacity_, row.value);
  }
  for (const auto& row : material.heat_capacity_liquid.rows) {
    heat_capacity_ = std::min(heat_capacity_, row.value);
  }
  for (std::size_t i = 0; i + 1 < points_.size(); ++i) {
    const Point& a = points_[i];
    const Point& b = points_[i + 1];
    const double span = b.enthalpy - a.enthalpy;
    if (span <= 0) continue;
    knots_.push_back(a.enthalpy);
    segments_.push_back({a.temperature, (b.temperature - a.temperature) / span, a.fraction,
                         (b.fraction - a.fraction) / span});
  }
  if (!melts_) {
    const auto constant = [](const cases::Property& p) { return p.rows.size() == 1; };
    straight_ =
        constant(material.heat_capacity_solid) && constant(material.heat_capacity_liquid) &&
        material.heat_capacity_solid.rows[0].value == material.heat_capacity_liquid.rows[0].value;
    return;
  }
  solid_until_ = points_.front().enthalpy;
  const double least = points_.front().fraction;
  for (const auto& point : points_) {
    if (point.fraction <= least) solid_until_ = point.enthalpy;
  }
  melting_point_ = cases::solidus_of(material);
  liquid_from_ = solid_until_;
  for (const auto& point : points_) {
    if (point.fraction >= 1) {
      liquid_from_ = point.enthalpy;
      break;
    }
  }
}

std::size_t EnthalpyCurve::segment_of(double enthalpy) const {
  const auto upper = std::upper_bound(knots_.begin() + 1, knots_.end(), enthalpy);
  return static_cast<std::size_t>(upper - knots_.begin()) - 1;
}

EnthalpySpan EnthalpyCurve::isothermal_span(double enthalpy) const {
  const std::size_t i = segment_of(enthalpy);
  if (segments_[i].slope > 0) return {};
  return {knots_[i], knots_[i + 1]};
}

ThermalState EnthalpyCurve::at(double enthalpy) const {
  return on_segment(segment_of(enthalpy), enthalpy);
}

ThermalState EnthalpyCurve::at(double enthalpy, std::size_t& piece) const {
  const bool from_here = piece == 0 || enthalpy >= knots_[piece];
  const bool until_here = piece + 1 == knots_.size() || enthalpy < knots_[piece + 1];
  if (!from_here || !until_here) piece = segment_of(enthalpy);
  return on_segment(piece, enthalpy);
}

double EnthalpyCurve::enthalpy_at(double temperature) const {
  const auto b =
      std::lower_bound(points_.begin() + 1, points_.end(), temperature,
                       [](const Point& point, double t) { return point.temperature < t; });
  if (b == points_.end()) return points_.back().enthalpy;
  const Point& a = *(b - 1);
  if (b->temperature <= a.temperature) return a.enthalpy;
  return a.enthalpy + (temperature - a.temperature) / (b->temperature - a.temperature) *
                          (b->enthalpy - a.enthalpy);
}

double EnthalpyCurve::enthalpy_at_fraction(double liquid_fraction) const {
  if (liquid_fraction <= points_.front().fraction) return solid_until_;
  if (liquid_fraction >= 1) return liquid_from_;
  for (std::size_t i = 0; i + 1 < points_.size(); ++i) {
    const Point& a = points_[i];
    const Point& b = points_[i + 1];
    if (liquid_fraction > b.fraction || b.fraction <= a.fraction) continue;
    return a.enthalpy +
           (liquid_fraction - a.fraction) / (b.fraction - a.fraction) * (b.enthalpy - a.enthalpy);
  }
  return liquid_from_;
}

}  // namespace thawline::solver
