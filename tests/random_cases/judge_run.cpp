#include "random_cases/judge_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "cases/input_error.hpp"
#include "solver/results/run_case.hpp"

namespace thawline::random_cases {

namespace {

struct TooManySteps {};

/// The lowest and highest temperature put in, K.
struct PutIn {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  void take(double temperature) {
    low = std::min(low, temperature);
    high = std::max(high, temperature);
  }
};

PutIn surroundings_of(const cases::Case& c) {
  PutIn range;
  constexpr int samples = 5000;
  for (int i = 0; i <= samples; ++i) {
    range.take(cases::temperature_at(c.surroundings.air, c.run.duration * i / samples));
  }
  if (const auto* trace = std::get_if<cases::Trace>(&c.surroundings.air)) {
    for (std::size_t i = 0; i < trace->time.size(); ++i) {
      if (trace->time[i] >= 0 && trace->time[i] <= c.run.duration) {
        range.take(trace->temperature[i]);
      }
    }
  }
  if (c.surroundings.base_temperature) range.take(*c.surroundings.base_temperature);
  return range;
}

class RangeWatch : public solver::Watcher {
 public:
  RangeWatch(const PutIn& range, int most_steps) : range_(range), most_steps_(most_steps) {}

  void at_instant(const solver::StepView& view) override {
    if (view.end <= 0) {
      for (int i = 0; i < view.balance->cells(); ++i) {
        range_.take(view.balance->thermal_state(*view.to, i).temperature);
      }
    }
    look(view);
  }
  void after_step(const solver::StepView& view) override {
    look(view);
    time_ = view.end;
    if (++steps_ > most_steps_) throw TooManySteps{};
  }
  [[nodiscard]] double outside() const { return outside_; }
  [[nodiscard]] const std::string& where() const { return where_; }
  [[nodiscard]] double time() const { return time_; }

 private:
  void look(const solver::StepView& view) {
    const auto& network = view.balance->network();
    for (int i = 0; i < view.balance->cells(); ++i) {
      const auto& cell = network.cells[static_cast<std::size_t>(i)];
      const auto state = view.balance->thermal_state(*view.to, i);
      take(state.temperature, view.end,
           [&] { return network.parts[static_cast<std::size_t>(cell.part)]; });
      if (!(state.liquid_fraction >= 0 && state.liquid_fraction <= 1)) {
        take(std::numeric_limits<double>::quiet_NaN(), view.end,
             [&] { return fmt::format("liquid fraction of cell {}", i); });
      }
    }
    for (int hub = 0; hub < view.balance->hubs(); ++hub) {
      take(view.balance->hub_temperature(*view.to, hub), view.end, [&] {
        return fmt::format("surface {} '{}'", hub,
                           network.hubs[static_cast<std::size_t>(hub)].name);
      });
    }
  }

  template <typename Name>
  void take(double temperature, double time, const Name& name) {
    const double outside = std::isfinite(temperature)
                               ? std::max(range_.low - temperature, temperature - range_.high)
                               : std::numeric_limits<double>::infinity();
    if (outside <= outside_) return;
    outside_ = outside;
    where_ = fmt::format("{} at {:.4f} h: {:.4f} degC", name(), time / 3600, temperature - 273.15);
  }

  PutIn range_;
  int most_steps_;
  int steps_ = 0;
  double outside_ = 0;
  double time_ = 0;
  std::string where_;
};

bool answers_are_numbers(const solver::RunResult& result) {
  return std::all_of(result.heat_by_path.begin(), result.heat_by_path.end(),
                     [](double heat) { return std::isfinite(heat); }) &&
         std::none_of(result.limits.begin(), result.limits.end(),
                      [](const auto& limit) { return std::isnan(limit.hold_time()); });
}

std::string problem_of(const solver::RunResult& result, const RangeWatch& watch,
                       const Judgement& judged) {
  if (!result.summary.completed) return result.summary.stop_reason;
  if (watch.outside() > allowed_outside) {
    return fmt::format("{:.3f} K outside what was put in: {}", watch.outside(), watch.where());
  }
  if (!answers_are_numbers(result)) return "an answer is not a number";
  if (!(judged.unbalanced <= std::max(allowed_closure * judged.exchanged, closure_floor))) {
    return fmt::format("{:.3g} J of {:.4g} J do not add up", judged.unbalanced, judged.exchanged);
  }
  return {};
}

}  // namespace

Judgement judge_run(const cases::Case& c, int most_steps) {
  Judgement judged;
  RangeWatch watch(surroundings_of(c), most_steps);
  try {
    const auto network = mesh::build_network(c);
    judged.cells = static_cast<int>(network.cells.size());
    const auto result = solver::run_network(c, network, {&watch});
    const auto& summary = result.summary;
    judged.steps = summary.steps;
    judged.rejected = summary.rejected;
    judged.newton_iterations = summary.newton_iterations;
    judged.outside = watch.outside();
    judged.exchanged = summary.heat_exchanged;
    judged.unbalanced = summary.closure * summary.heat_exchanged;
    judged.problem = problem_of(result, watch, judged);
  } catch (const TooManySteps&) {
    judged.problem =
        fmt::format("more than {} steps; stopped at {:.4f} h", most_steps, watch.time() / 3600);
  } catch (const cases::InputError& error) {
    judged.refused = true;
    judged.problem = error.what();
  } catch (const std::exception& error) {
    judged.problem = fmt::format("exception: {}", error.what());
  }
  return judged;
}

}  // namespace thawline::random_cases
