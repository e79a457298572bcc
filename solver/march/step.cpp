#include "solver/march/step.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "solver/linear/compensated_sum.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

using std::numbers::sqrt2;
constexpr double gamma_fraction = 2 - sqrt2;  ///< the middle stage
constexpr double d = gamma_fraction / 2;
constexpr double w = sqrt2 / 4;
// Third-order companion weights.
constexpr double companion_1 = (1 - w) / 3;
constexpr double companion_2 = (3 * w + 1) / 3;
constexpr double companion_3 = d / 3;

/// Of the heat that a cell would have taken up beyond a kink of its melting so much shows as the
/// error of a step that ends there: (d − companion_3) / d = 2/3 of what its last rate lacks.
constexpr double kink_error = 2.0 / 3;
/// A step is shortened to a kink where it would reach past it by more than so many times the error
/// allowed; it then reaches past it by so much of that, lest the next step begin short of the kink.
constexpr double too_far = 2, just_past = 0.5;
constexpr int most_iterations = 30;
/// Fronts move their resistances for so many iterations of a stage; then these stay, so that what
/// is left is a monotone problem which Newton always solves. A section's matrix does not know how
/// resistances change, so that more iterations gain little; that of columns does, but where a front
/// comes and goes at a face it does not settle in more iterations either.
constexpr int section_front_iterations = 2, column_front_iterations = 3;
/// Size of the linear residual that an iterative solve may leave: for Newton while it is far from
/// its end, near it, and for the error filter.
constexpr double newton_tolerance = 3e-3, last_newton_tolerance = 0.1, filter_tolerance = 1e-2;
/// Newton stops when every cell and surface is within this share of the step tolerance (K): a
/// thousandth at an accuracy of 0.01 K, so that no cell leaves the range of its surroundings by
/// more than a microkelvin; in proportion more at rougher ones, up to a fiftieth.
double newton_share(double tolerance) {
  constexpr double fine_tolerance = 5e-4;
  return 1e-3 * std::clamp(tolerance / fine_tolerance, 1.0, 20.0);
}

/// The same in a section, for what is not in its grid, and for the grid by the norm of its errors:
/// small cells come and go through the melt all the time there.
constexpr double section_newton_share = 5e-2, grid_newton_share = 0.2;
/// Of the error of a single cell of a section so much counts: it may be twice the accuracy asked,
/// where a part as a whole may err by a twentieth of that.
constexpr double single_cell_share = 1.0 / 40;
/// Heat of melting counts in the error norm as if spread over this range (K): 4 K in columns at an
/// accuracy of 0.05 K, so that a cell of ice may err by 0.06 % of its melting in a step; in
/// proportion more at rougher ones, whose hold times would suffer. In a section, where a front
/// comes to many small cells at once, over 40 K.
double melting_range(double tolerance, bool section) {
  constexpr double widest = 40;
  constexpr double usual_tolerance = 0.05 / 20;
  return section ? widest : std::clamp(4 * tolerance / usual_tolerance, 4.0, widest);
}

}  // namespace

Stepper::Stepper(HeatBalance& balance, const Outside& outside, double tolerance)
    : balance_(balance),
      outside_(outside),
      newton_bar_(tolerance *
                  (balance.has_section() ? section_newton_share : newton_share(tolerance))),
      system_(balance.make_system()),
      section_(balance.has_section() ? std::make_unique<SectionSystem>(balance) : nullptr),
      base_(balance.cells()),
      residual_weight_(balance.cells()),
      error_weight_(balance.cells()),
      cells_(mesh::spread_cells(balance.network())),
      hubs_(balance.hubs()),
      residual_cells_(balance.cells()),
      residual_hubs_(balance.hubs()),
      middle_(balance.zero_state()),
      end_(balance.zero_state()),
      middle_rates_(balance.zero_rates()) {
  const double range = melting_range(tolerance, balance.has_section());
  for (int i = 0; i < balance.cells(); ++i) {
    const EnthalpyCurve& curve = balance.curve(i);
    const double capacity = balance.mass(i) * curve.heat_capacity();
    residual_weight_[i] = 1 / (capacity * newton_bar_);
    error_weight_[i] =
        1 / (tolerance * (capacity + balance.mass(i) * curve.melting_enthalpy() / range));
  }
  const auto& network = balance.network();
  part_capacity_.assign(network.parts.size(), 0);
  for (int i = network.grid.first; i < network.grid.first + network.grid.count; ++i) {
    grid_part_.push_back(network.cells[static_cast<std::size_t>(i)].part);
    part_capacity_[static_cast<std::size_t>(grid_part_.back())] += 1 / error_weight_[i];
  }
}

double Stepper::stored(const State& state) const {
  CompensatedSum sum;
  for (int i = 0; i < balance_.cells(); ++i) {
    if (balance_.present(balance_.network().cells[static_cast<std::size_t>(i)].item)) {
      sum.add(state.enthalpy[i]);
    }
  }
  return sum.value();
}

namespace {

/// The larger of the two; once not a number, always so (std::max would drop it).
double larger(double size, double value) { return value <= size ? size : value - 0 * size; }

}  // namespace

double Stepper::residual_size(double scale, const State& y, const Rates& rates) {
  residual_cells_ = base_ + scale * rates.cells - y.enthalpy;
  double size = section_ ? grid_size(residual_cells_) / grid_newton_share : 0;
  const auto cells_to = [&](int begin, int end) {
    for (int i = begin; i < end; ++i) {
      size = larger(size, std::abs(residual_cells_[i]) * residual_weight_[i]);
    }
  };
  const mesh::Grid& grid = balance_.network().grid;
  cells_to(0, grid.first);
  cells_to(grid.first + grid.count, balance_.cells());
  const auto& hubs = balance_.network().hubs;
  for (int h = 0; h < balance_.hubs(); ++h) {
    const int cell = hubs[static_cast<std::size_t>(h)].cell;
    if (cell >= 0) {
      residual_hubs_[h] = residual_cells_[cell];
      continue;
    }
    residual_hubs_[h] = rates.surfaces[h];
    const double conductance = section_ ? section_->surface_conductance(h) : system_.hubs(h, h);
    size = larger(size, std::abs(rates.surfaces[h]) / (conductance * newton_bar_));
  }
  return size;
}

void Stepper::evaluate(const Conditions& conditions, double scale, const State& y, Rates& rates) {
  if (section_) {
    section_->evaluate(y, conditions, rates, scale);
  } else {
    balance_.evaluate(y, conditions, rates, &system_, scale);
  }
}

bool Stepper::solve_linear(double tolerance) {
  if (section_) return section_->solve(cells_, hubs_, tolerance);
  system_.factor();
  system_.solve(cells_, hubs_);
  return true;
}

void Stepper::newton_update(State& y, double share, bool stop_at_melt) {
  const auto& network = balance_.network();
  const auto move = [&](int cell, double change) {
    const double from = y.enthalpy[cell];
    const double to = from + share * change;
    y.enthalpy[cell] = stop_at_melt ? balance_.stopped_at_melt(cell, from, to)
                                    : balance_.held_back(cell, from, to);
  };
  for_all(static_cast<int>(cells_.size()), [&](int i) { move(i, cells_[i]); });
  for (int h = 0; h < balance_.hubs(); ++h) {
    const int cell = network.hubs[static_cast<std::size_t>(h)].cell;
    if (cell < 0) {
      y.surface[h] += share * hubs_[h];
    } else {
      move(cell, hubs_[h]);
    }
  }
}

StepOutcome Stepper::solve_stage(const Conditions& conditions, double scale, State& y,
                                 Rates& rates) {
  const StepOutcome outcome = iterate(conditions, scale, y, rates);
  balance_.hold_fronts(false);
  return outcome;
}

StepOutcome Stepper::iterate(const Conditions& conditions, double scale, State& y, Rates& rates) {
  StepOutcome outcome;
  double size = 0;
  const int front_iterations = section_ ? section_front_iterations : column_front_iterations;
  for (int i = 0; i < most_iterations; ++i) {
    balance_.hold_fronts(i >= front_iterations);
    evaluate(conditions, scale, y, rates);
    const double before = size;
    size = residual_size(scale, y, rates);
    if (!std::isfinite(size)) return outcome;
    if (size <= 1) {
      balance_.keep_leftovers(rates);
      outcome.converged = true;
      outcome.residual = size * newton_bar_;
      return outcome;
    }
    cells_ = residual_cells_.head(cells_.size());
    hubs_ = residual_hubs_;
    // No closer than what takes the residual well below its bar.
    const double enough = std::clamp(0.1 / size, newton_tolerance, last_newton_tolerance);
    if (!solve_linear(enough)) return outcome;
    newton_update(y, i < 6 || size < before ? 1.0 : 0.5, i >= front_iterations);
    ++outcome.iterations;
  }
  return outcome;
}

bool Stepper::balance_surfaces(const Conditions& conditions, State& state, Rates& rates) {
  balance_.place_fronts(state);
  base_ = state.enthalpy;
  const bool done = solve_stage(conditions, 0, state, rates).converged;
  state.enthalpy = base_;
  return done;
}

/// Root mean square of `heat` (J) in shares of the tolerance, over the grid cells of each part,
/// weighted by their capacity; the largest of the parts. One small cell at a kink of its melting
/// does not hold up the whole step, as it would in the maximum.
double Stepper::grid_size(const Eigen::VectorXd& heat) {
  const int cells = balance_.network().grid.count;
  const int first = balance_.network().grid.first;
  const std::size_t parts = part_capacity_.size();
  constexpr int block = 4096;
  const int blocks = (cells + block - 1) / block;
  part_error_.assign(static_cast<std::size_t>(blocks) * parts, 0);
  block_size_.assign(static_cast<std::size_t>(blocks), 0);
  for_tasks(blocks, cells, [&](int b) {
    double* errors = part_error_.data() + static_cast<std::size_t>(b) * parts;
    double size = 0;
    for (int k = b * block; k < std::min(cells, (b + 1) * block); ++k) {
      const double value = heat[first + k] * error_weight_[first + k];
      errors[grid_part_[static_cast<std::size_t>(k)]] += heat[first + k] * value;
      size = larger(size, std::abs(value));
    }
    block_size_[static_cast<std::size_t>(b)] = size;
  });
  double size = 0;
  for (const double of_block : block_size_) size = larger(size, single_cell_share * of_block);
  for (std::size_t p = 0; p < parts; ++p) {
    double error = 0;
    for (std::size_t k = p; k < part_error_.size(); k += parts) error += part_error_[k];
    if (part_capacity_[p] > 0) size = larger(size, std::sqrt(error / part_capacity_[p]));
  }
  return size;
}

double Stepper::error_size(double dt, const Rates& r1, const Rates& r2, const Rates& r3) {
  const auto& network = balance_.network();
  const auto spread = static_cast<int>(cells_.size());
  const double e1 = dt * (w - companion_1);
  const double e2 = dt * (w - companion_2);
  const double e3 = dt * (d - companion_3);
  for (int i = 0; i < spread; ++i) {
    cells_[i] = e1 * r1.cells[i] + e2 * r2.cells[i] + e3 * r3.cells[i];
  }
  for (int h = 0; h < balance_.hubs(); ++h) {
    const int c = network.hubs[static_cast<std::size_t>(h)].cell;
    hubs_[h] = c < 0 ? 0 : e1 * r1.cells[c] + e2 * r2.cells[c] + e3 * r3.cells[c];
  }
  // Filtered by the stage matrix, so that stiff parts do not spoil the estimate.
  if (!solve_linear(filter_tolerance)) return std::numeric_limits<double>::quiet_NaN();
  double size = section_ ? grid_size(cells_) : 0;
  for (int i = 0; i < network.chain_cells; ++i) {
    size = larger(size, std::abs(cells_[i]) * error_weight_[i]);
  }
  for (int h = 0; h < balance_.hubs(); ++h) {
    const int c = network.hubs[static_cast<std::size_t>(h)].cell;
    if (c >= 0) size = larger(size, std::abs(hubs_[h]) * error_weight_[c]);
  }
  return size;
}

double Stepper::shortened_to_kink(const State& from, const Rates& rates, double dt) const {
  if (!balance_.has_fronts()) return dt;
  double longest = dt;
  const auto shorten_for = [&](int cell) {
    const double watt = rates.cells[cell];
    const double at_kink = balance_.time_to_kink(cell, from.enthalpy[cell], watt);
    if (at_kink >= longest) return;
    const double error_rate = kink_error * std::abs(watt) * error_weight_[cell];
    if (error_rate * (dt - at_kink) < too_far) return;
    longest = std::min(longest, at_kink + just_past / error_rate);
  };
  const mesh::Grid& grid = balance_.network().grid;
  for (int i = 0; i < grid.first; ++i) shorten_for(i);
  for (int i = grid.first + grid.count; i < balance_.cells(); ++i) shorten_for(i);
  return longest;
}

int Stepper::limiting_cell(bool converged) const {
  int limiting = -1;
  double largest = 0;
  const auto look_at = [&](int cell, double size) {
    if (!(size > largest)) return;
    limiting = cell;
    largest = size;
  };
  if (!converged) {
    for (int i = 0; i < balance_.cells(); ++i) {
      look_at(i, std::abs(residual_cells_[i]) * residual_weight_[i]);
    }
    return limiting;
  }
  for (int i = 0; i < static_cast<int>(cells_.size()); ++i) {
    look_at(i, std::abs(cells_[i]) * error_weight_[i]);
  }
  for (int h = 0; h < balance_.hubs(); ++h) {
    const int cell = balance_.network().hubs[static_cast<std::size_t>(h)].cell;
    if (cell >= 0) look_at(cell, std::abs(hubs_[h]) * error_weight_[cell]);
  }
  return limiting;
}

void Stepper::move_fronts(const Conditions& conditions, const State& state, Rates& rates) {
  balance_.place_fronts(state);
  balance_.evaluate(end_, conditions, rates, nullptr, 0);
  balance_.keep_leftovers(rates);
}

StepOutcome Stepper::attempt(double time, double dt, double open_air_changes, const State& from,
                             const Rates& from_rates, State& to, Rates& to_rates,
                             Eigen::VectorXd& path_heat) {
  const double scale = d * dt;
  middle_ = from;
  middle_.enthalpy += gamma_fraction * dt * from_rates.cells;
  base_ = from.enthalpy + scale * from_rates.cells;
  StepOutcome outcome = solve_stage(outside_.at(time + gamma_fraction * dt, open_air_changes, time),
                                    scale, middle_, middle_rates_);
  if (!outcome.converged) return outcome;
  const int first_iterations = outcome.iterations;
  const double first_residual = outcome.residual;

  base_ = from.enthalpy + w * dt * (from_rates.cells + middle_rates_.cells);
  end_.enthalpy = from.enthalpy + (middle_.enthalpy - from.enthalpy) / gamma_fraction;
  end_.surface = from.surface + (middle_.surface - from.surface) / gamma_fraction;
  outcome = solve_stage(outside_.at(time + dt, open_air_changes, time), scale, end_, to_rates);
  if (!outcome.converged) {
    end_ = middle_;
    const int spent = outcome.iterations;
    outcome = solve_stage(outside_.at(time + dt, open_air_changes, time), scale, end_, to_rates);
    outcome.iterations += spent;
  }
  outcome.iterations += first_iterations;
  outcome.residual = std::max(outcome.residual, first_residual);
  if (!outcome.converged) return outcome;

  outcome.error = error_size(dt, from_rates, middle_rates_, to_rates);
  if (!std::isfinite(outcome.error)) outcome.converged = false;
  to.enthalpy = base_ + scale * to_rates.cells;
  to.surface = end_.surface;
  path_heat = dt * (w * (from_rates.paths + middle_rates_.paths) + d * to_rates.paths);
  return outcome;
}

}  // namespace thawline::solver
