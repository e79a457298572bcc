#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#include "solver/march/averaged_trace.hpp"
#include "solver/results/run_case.hpp"
#include "support/example_section.hpp"

using namespace thawline;

namespace {

constexpr double hour = 3600;
constexpr double day = 24 * hour;

double wave(double time) { return 297.15 + 5 * std::cos(2 * std::numbers::pi * time / day); }

/// A wave as a logger records it: a row every `interval` s for two days, with noise, read to
/// `resolution` (K; 0: exactly).
cases::Trace logged(double interval, double noise, double resolution) {
  std::mt19937 random(7);
  std::normal_distribution<double> error(0, 1);
  cases::Trace trace;
  for (double time = 0; time <= 2 * day; time += interval) {
    double value = wave(time) + noise * error(random);
    if (resolution > 0) value = resolution * std::round(value / resolution);
    trace.time.push_back(time);
    trace.temperature.push_back(value);
  }
  return trace;
}

/// ∫ value dt by the midpoint rule.
double integral(const auto& value, double from, double to) {
  constexpr int pieces = 20000;
  double sum = 0;
  for (int i = 0; i < pieces; ++i) sum += value(from + (i + 0.5) * (to - from) / pieces);
  return sum * (to - from) / pieces;
}

}  // namespace

TEST_CASE("an averaged trace keeps what has come in up to any instant", "[solver]") {
  const double exposure = 180;  // K s, as at an accuracy of 0.05 K
  const auto trace = logged(60, 0.3, 0.1);
  const solver::AveragedTrace averaged(trace, 2 * day, exposure);
  const auto left_out = [&](double t) { return averaged.at(t) - temperature_at(trace, t); };
  double sum = 0;
  for (double time = 0; time < 2 * day; time += 600) {
    sum += integral(left_out, time, time + 600);
    INFO("up to " << time / hour + 1.0 / 6 << " h");
    CHECK(std::abs(sum) <= exposure);
  }
  CHECK(averaged.at(-5) == trace.temperature.front());
  CHECK(averaged.at(3 * day) == trace.temperature.back());
}

TEST_CASE("a jump or a short pulse in a trace is followed row by row", "[solver]") {
  cases::Trace trace;
  for (int minute = 0; minute <= 600; ++minute) {
    const bool pulse = minute >= 200 && minute < 203;
    trace.time.push_back(60.0 * minute);
    trace.temperature.push_back(minute < 400 ? (pulse ? 303.15 : 283.15) : 303.15);
  }
  const solver::AveragedTrace averaged(trace, 10 * hour, 180);
  CHECK(averaged.at(100 * 60) == Approx(283.15));
  CHECK(averaged.at(395 * 60) == Approx(283.15).margin(0.2));
  CHECK(averaged.at(405 * 60) == Approx(303.15).margin(0.2));
  CHECK(averaged.at(201.5 * 60) == Approx(303.15).margin(1));
  const auto value = [&](double t) { return averaged.at(t); };
  CHECK(integral(value, 190 * 60, 215 * 60) - 25 * 60 * 283.15 == Approx(20 * 180).epsilon(0.02));
  // No step passes over the pulse, and the curve leaves the range of the rows by 0.05 K at most.
  CHECK(averaged.longest_step(195 * 60) < 8 * 60);
  for (double time = 0; time < 36000; time += 7) {
    if (averaged.at(time) < 283.099 || averaged.at(time) > 303.201) FAIL("at " << time << " s");
  }
}

TEST_CASE("a logged wave takes the steps of the wave and gives its answer", "[solver]") {
  const std::string root = THAWLINE_SOURCE_DIR;
  auto c = cases::read_case(root + "/cases/examples/rotomoulded-box.yaml",
                            cases::read_material_folder(root + "/cases/materials"));
  c.run.detail = cases::Detail::one_d;
  c.run.accuracy = 0.05;
  REQUIRE(!c.limits.empty());
  c.surroundings.air = cases::DailyWave{297.15, 5, 0};
  c.run.duration = 2 * day;
  c.limits[0].temperature = 273.15 + 6;
  const auto smooth = solver::run_case(c);
  REQUIRE(smooth.limits[0].end_time > 0);
  struct Record {
    double interval, noise, resolution;
  };
  // Exact rows, and rows read to 0.1 K; noise of a logger takes some steps of its own.
  for (const Record r : {Record{60, 0, 0}, Record{900, 0, 0}, Record{3600, 0, 0},
                         Record{60, 0, 0.1}, Record{60, 0.3, 0.1}}) {
    c.surroundings.air = logged(r.interval, r.noise, r.resolution);
    const auto result = solver::run_case(c);
    INFO("a row every " << r.interval << " s, noise " << r.noise << " K, read to " << r.resolution
                        << " K: " << result.summary.steps << " steps for " << smooth.summary.steps
                        << ", " << result.limits[0].hold_time() / hour << " h for "
                        << smooth.limits[0].hold_time() / hour);
    CHECK(result.summary.completed);
    CHECK(result.summary.steps <= 1.5 * smooth.summary.steps);
    CHECK(result.limits[0].hold_time() ==
          Approx(smooth.limits[0].hold_time()).epsilon(r.noise > 0 ? 2e-3 : 5e-4));
  }
}
