#include "speed/library_march.hpp"

#include <algorithm>
#include <cmath>

#include "solver/march/march.hpp"
#include "solver/results/crossing.hpp"
#include "solver/results/probes.hpp"
#include "speed/processor_time.hpp"

namespace thawline::validation {

namespace {

struct OutOfTime {};

/// Probes at every output and the end of the first limit.
class Sampler : public solver::Watcher {
 public:
  Sampler(const Problem& problem, double output_every, double most_seconds)
      : watched_(problem.watched),
        deadline_(seconds_of_this_thread() + most_seconds),
        duration_(problem.schedule.duration),
        output_every_(output_every),
        next_(output_every) {}

  void at_instant(const solver::StepView&) override {}
  void after_step(const solver::StepView& view) override {
    answer.reached = view.end;
    const auto value = [&](double time) {
      return solver::probe_temperature(view, watched_.limited, time) - watched_.limit;
    };
    if (answer.end < 0 && value(view.begin) < 0 && value(view.end) >= 0) {
      answer.end = solver::crossing(value, view.begin, view.end);
    }
    for (; next_ <= view.end * (1 + 1e-12) && next_ <= duration_; next_ += output_every_) {
      for (const auto& probe : watched_.probes) {
        answer.temperatures.push_back(
            solver::probe_temperature(view, probe, std::min(next_, view.end)));
      }
    }
    if (seconds_of_this_thread() > deadline_) throw OutOfTime{};
  }

  Answer answer;

 private:
  const Watched& watched_;
  double deadline_;  ///< s
  double duration_, output_every_, next_;
};

}  // namespace

Answer by_library(const Problem& problem, double accuracy, double output_every,
                  double most_seconds) {
  solver::HeatBalance balance(problem.network);
  solver::MarchOptions options;
  options.accuracy = accuracy;
  Sampler sampler(problem, output_every, most_seconds);
  try {
    const auto summary = solver::march(balance, problem.schedule, options, sampler);
    sampler.answer.completed = summary.completed;
    if (!summary.completed) sampler.answer.gave_up = summary.stop_reason;
    sampler.answer.steps = summary.steps;
    sampler.answer.attempts = summary.steps + summary.rejected;
    sampler.answer.iterations = summary.newton_iterations;
  } catch (const OutOfTime&) {
    sampler.answer.gave_up = "out of time";
  }
  return sampler.answer;
}

double farthest(const Answer& a, const Answer& b) {
  double most = 0;
  for (std::size_t i = 0; i < std::min(a.temperatures.size(), b.temperatures.size()); ++i) {
    most = std::max(most, std::abs(a.temperatures[i] - b.temperatures[i]));
  }
  return most;
}

}  // namespace thawline::validation
