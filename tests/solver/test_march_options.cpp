#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <limits>

#include "solver/march/march.hpp"
#include "support/one_column.hpp"

using namespace thawline;
using Catch::Contains;
using solver::MarchOptions;

namespace {

constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

template <typename Value>
MarchOptions with(Value MarchOptions::*option, Value value) {
  MarchOptions options;
  options.*option = value;
  return options;
}

/// Counts how often it is called.
struct Calls : solver::Watcher {
  void at_instant(const solver::StepView&) override { ++count; }
  void after_step(const solver::StepView&) override { ++count; }
  int count = 0;
};

}  // namespace

TEST_CASE("march options within their inequalities have no fault", "[solver]") {
  CHECK(solver::fault_of({}).empty());
  CHECK(solver::fault_of(with(&MarchOptions::accuracy, 1e-12)).empty());
  CHECK(solver::fault_of(with(&MarchOptions::longest_step, infinity)).empty());
  CHECK(solver::fault_of(with(&MarchOptions::fixed_step, 0.5)).empty());
  CHECK(solver::fault_of(with(&MarchOptions::patience, 1)).empty());
}

TEST_CASE("a march option out of range is named with its value and what it must be", "[solver]") {
  for (const double value : {0.0, -0.05, not_a_number, infinity}) {
    CHECK_THAT(solver::fault_of(with(&MarchOptions::accuracy, value)),
               Contains(fmt::format("accuracy is {:g}, but must be a finite number", value)));
  }
  for (const double value : {0.0, -1.0, not_a_number}) {
    CHECK_THAT(solver::fault_of(with(&MarchOptions::longest_step, value)),
               Contains(fmt::format("longest_step is {:g}, but must be", value)));
  }
  for (const double value : {-1.0, not_a_number, infinity}) {
    CHECK_THAT(solver::fault_of(with(&MarchOptions::fixed_step, value)),
               Contains(fmt::format("fixed_step is {:g}, but must be", value)));
  }
  CHECK_THAT(solver::fault_of(with(&MarchOptions::patience, 0)),
             Contains("patience is 0, but must be at least 1"));
}

TEST_CASE("a march refuses options that are not allowed before its first step", "[solver]") {
  const auto network = test::lump(test::rounded_ice(), 2, 253.15, 0.5);
  const auto schedule = test::steady_schedule(303.15, 303.15, 6000);
  for (const auto& options :
       {with(&MarchOptions::accuracy, 0.0), with(&MarchOptions::accuracy, not_a_number),
        with(&MarchOptions::longest_step, 0.0), with(&MarchOptions::fixed_step, -1.0),
        with(&MarchOptions::patience, 0)}) {
    solver::HeatBalance balance(network);
    Calls calls;
    const auto summary = solver::march(balance, schedule, options, calls);
    CHECK_FALSE(summary.completed);
    CHECK(summary.stop_reason == solver::fault_of(options));
    CHECK(summary.steps + summary.rejected == 0);
    CHECK(calls.count == 0);
  }
}
