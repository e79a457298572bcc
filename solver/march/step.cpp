#include "solver/march/step.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "solver/at.hpp"
#include "solver/heat/melt_limits.hpp"
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
/// Size of the linear residual that an iterative solve may leave: for Newton while it is far from
/// its end, near it, and for the error filter.
constexpr double newton_tolerance = 3e-3, last_newton_tolerance = 0.1, filter_tolerance = 1e-2;
/// Of what Newton may leave in the grid, by the norm of its errors, the share of what a step may
/// err.
constexpr double grid_newton_share = 0.2;
/// Of the error of a single cell of the grid so much counts: it may be twice the accuracy asked,
/// where a part as a whole may err by a twentieth of that.
constexpr double single_cell_share = 1.0 / 40;

/// By cell, whether a probe shows it alone.
std::vector<bool> shown_cells(const mesh::Network& network) {
  std::vector<bool> shown(network.cells.size());
  for (const auto& probe : network.probes) {
    const int cell = probe.cells.empty()       ? network.hubs[at(probe.hub)].cell
                     : probe.cells.size() == 1 ? probe.cells.front()
                                               : -1;
    if (cell >= 0) shown[at(cell)] = true;
  }
  return shown;
}

}  // namespace

Stepper::Stepper(HeatBalance& balance, const Outside& outside, double tolerance)
    : balance_(balance),
      outside_(outside),
      tolerances_(tolerances_for(balance.network(), tolerance)),
      system_(make_newton_system(balance)),
      base_(balance.cells()),
      residual_weight_(balance.cells()),
      error_weight_(balance.cells()),
      pure_weight_(balance.cells()),
      shown_(shown_cells(balance.network())),
      change_(Eigen::VectorXd::Zero(balance.cells() + balance.hubs())),
      residual_(change_),
      middle_(balance.zero_state()),
      end_(balance.zero_state()),
      middle_rates_(balance.zero_rates()) {
  for (int i = 0; i < balance.cells(); ++i) {
    const EnthalpyCurve& curve = balance.curve(i);
    const double capacity = balance.mass(i) * curve.heat_capacity();
    const double melting = balance.mass(i) * curve.melting_enthalpy() / tolerances_.melting_range;
    residual_weight_[i] = 1 / (capacity * tolerances_.newton);
    error_weight_[i] = 1 / (tolerance * (capacity + melting));
    pure_weight_[i] = 1 / (tolerance * capacity);
  }
  count_bands_by_volume();
  for_cells_beside_grid([&](int i) {
    const EnthalpyCurve& curve = balance.curve(i);
    if (curve.is_sharp() || (curve.melts() && shown_[at(i)])) kinked_.push_back(i);
  });
  const auto& network = balance.network();
  part_capacity_.assign(network.parts.size(), 0);
  for (int i = network.grid.first; i < network.grid.first + network.grid.count; ++i) {
    grid_part_.push_back(network.cells[static_cast<std::size_t>(i)].part);
    part_capacity_[static_cast<std::size_t>(grid_part_.back())] += 1 / error_weight_[i];
  }
}

/// The error of a wall that is cut into bands is the mean square over them, as over the cells of a
/// section's part.
void Stepper::count_bands_by_volume() {
  const auto& network = balance_.network();
  std::vector<double> part_volume(network.parts.size());
  const auto for_wall_cells = [&](const auto& act) {
    for (const auto& column : network.columns) {
      if (column.item >= 0) continue;
      std::vector<double> in_column(network.parts.size());
      for (int i = column.first; i < column.first + column.count; ++i) {
        in_column[at(network.cells[at(i)].part)] += network.cells[at(i)].volume;
      }
      for (int i = column.first; i < column.first + column.count; ++i) {
        act(i, in_column[at(network.cells[at(i)].part)]);
      }
    }
  };
  for_wall_cells([&](int i, double) {
    part_volume[at(network.cells[at(i)].part)] += network.cells[at(i)].volume;
  });
  for_wall_cells([&](int i, double in_column) {
    error_weight_[i] *= std::sqrt(in_column / part_volume[at(network.cells[at(i)].part)]);
  });
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

template <class Act>
void Stepper::for_cells_beside_grid(const Act& act) const {
  const mesh::Grid& grid = balance_.network().grid;
  for (int i = 0; i < grid.first; ++i) act(i);
  for (int i = grid.first + grid.count; i < balance_.cells(); ++i) act(i);
}

namespace {

/// The larger of the two; once not a number, always so (std::max would drop it).
double larger(double size, double value) { return value <= size ? size : value - 0 * size; }

}  // namespace

double Stepper::residual_size(double scale, const State& y, const Rates& rates) {
  const int cells = balance_.cells();
  residual_.head(cells) = base_ + scale * rates.cells - y.enthalpy;
  double size = grid_size(residual_) / grid_newton_share;
  for_cells_beside_grid(
      [&](int i) { size = larger(size, std::abs(residual_[i]) * residual_weight_[i]); });
  for (int h = 0; h < balance_.hubs(); ++h) {
    if (!balance_.is_surface(h)) continue;
    residual_[cells + h] = rates.surfaces[h];
    const double conductance = system_->surface_conductance(h);
    size = larger(size, std::abs(rates.surfaces[h]) / (conductance * tolerances_.newton));
  }
  return size;
}

void Stepper::newton_update(State& y, double share, bool stop_at_melt) {
  const CellStates& states = balance_.cell_states();
  for_all(balance_.cells(), [&](int i) {
    const double from = y.enthalpy[i];
    const double to = from + share * change_[i];
    y.enthalpy[i] =
        stop_at_melt ? stopped_at_melt(states, i, from, to) : held_in_melt(states, i, from, to);
  });
  for (int h = 0; h < balance_.hubs(); ++h) {
    if (balance_.is_surface(h)) y.surface[h] += share * change_[balance_.cells() + h];
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
  for (int i = 0; i < most_iterations; ++i) {
    const bool held = i >= tolerances_.front_iterations;
    balance_.hold_fronts(held);
    balance_.evaluate(y, conditions, rates);
    system_->assemble(balance_, scale);
    const double before = size;
    size = residual_size(scale, y, rates);
    if (!std::isfinite(size)) return outcome;
    if (size <= 1) {
      balance_.keep_leftovers(rates);
      outcome.converged = true;
      outcome.residual = size * tolerances_.newton;
      return outcome;
    }
    change_ = residual_;
    // No closer than what takes the residual well below its bar.
    const double enough = std::clamp(0.1 / size, newton_tolerance, last_newton_tolerance);
    if (!system_->solve(change_, enough)) return outcome;
    newton_update(y, i < 6 || size < before ? 1.0 : 0.5, held);
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
  if (cells == 0) return 0;
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

bool Stepper::is_melting(int cell) const {
  const double fraction = balance_.cell_states().fraction[at(cell)];
  return fraction > 0 && fraction < 1;
}

double Stepper::error_size(double dt, const Rates& r1, const Rates& r2, const Rates& r3) {
  const double e1 = dt * (w - companion_1);
  const double e2 = dt * (w - companion_2);
  const double e3 = dt * (d - companion_3);
  change_.head(balance_.cells()) = e1 * r1.cells + e2 * r2.cells + e3 * r3.cells;
  change_.tail(balance_.hubs()).setZero();
  // Filtered by the stage matrix, so that stiff parts do not spoil the estimate.
  if (!system_->solve(change_, filter_tolerance)) return std::numeric_limits<double>::quiet_NaN();
  double size = grid_size(change_);
  for_cells_beside_grid([&](int i) {
    const bool strict = shown_[at(i)] && !is_melting(i);
    size = larger(size, std::abs(change_[i]) * (strict ? pure_weight_[i] : error_weight_[i]));
  });
  return size;
}

double Stepper::shortened_to_kink(const State& from, const Rates& rates, double dt) const {
  double longest = dt;
  for (const int cell : kinked_) {
    const double watt = rates.cells[cell];
    const double at_kink = time_to_kink(balance_.cell_states(), cell, from.enthalpy[cell], watt);
    if (at_kink >= longest) continue;
    const double weight = shown_[at(cell)] ? pure_weight_[cell] : error_weight_[cell];
    const double error_rate = kink_error * std::abs(watt) * weight;
    if (error_rate * (dt - at_kink) < too_far) continue;
    longest = std::min(longest, at_kink + just_past / error_rate);
  }
  return longest;
}

int Stepper::limiting_cell(bool converged) const {
  int limiting = -1;
  double largest = 0;
  for (int i = 0; i < balance_.cells(); ++i) {
    const double size = converged ? std::abs(change_[i]) * error_weight_[i]
                                  : std::abs(residual_[i]) * residual_weight_[i];
    if (!(size > largest)) continue;
    limiting = i;
    largest = size;
  }
  return limiting;
}

void Stepper::move_fronts(const Conditions& conditions, const State& state, Rates& rates) {
  balance_.place_fronts(state);
  balance_.evaluate(end_, conditions, rates);
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
