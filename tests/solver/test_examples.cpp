#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>

#include "cases/read_case.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

namespace {

std::vector<cases::Case> examples() {
  const std::string root = THAWLINE_SOURCE_DIR;
  const auto shelf = cases::read_material_folder(root + "/cases/materials");
  std::vector<cases::Case> all;
  for (const auto& item : std::filesystem::directory_iterator(root + "/cases/examples")) {
    if (item.path().extension() == ".yaml") {
      all.push_back(cases::read_case(item.path().string(), shelf));
    }
  }
  return all;
}

void check_same_time(double a, double b, double share) {
  if (a < 0 || b < 0) {
    CHECK(a == b);
  } else {
    CHECK(b == Approx(a).epsilon(share).margin(1e-6));
  }
}

/// Within 0.15 %, or within what the limit moved by 0.02 K either way makes of the hold time: on a
/// flat curve that is more.
void check_same_hold_time(cases::Case c, const solver::LimitResult& fine, double rough) {
  constexpr double share = 1.5e-3, moved = 0.02;
  const double hold = fine.hold_time();
  if (hold < 0 || rough < 0 || std::abs(rough - hold) <= share * hold) {
    check_same_time(hold, rough, share);
    return;
  }
  c.run.accuracy = 0.05;
  c.limits = {fine.limit};
  const auto hold_at = [&c, &fine](double by) {
    c.limits[0].temperature = fine.limit.temperature + by;
    return solver::run_case(c).limits[0].hold_time();
  };
  const auto [least, most] = std::minmax({hold_at(-moved), hold_at(moved)});
  CHECK(rough >= least);
  CHECK(rough <= most);
}

}  // namespace

TEST_CASE("every example closes its energy and does not depend on the tolerance", "[solver]") {
  const auto all = examples();
  REQUIRE(all.size() >= 7);
  for (auto c : all) {
    INFO(c.title);
    c.run.accuracy = 0.05;
    const auto once = solver::run_case(c);
    REQUIRE(once.summary.completed);
    CHECK(once.summary.closure <= 1e-9);
    c.run.accuracy /= 2;
    const auto halved = solver::run_case(c);
    REQUIRE(halved.summary.completed);
    CHECK(halved.summary.closure <= 1e-9);
    for (std::size_t i = 0; i < once.limits.size(); ++i) {
      INFO(once.limits[i].limit.name);
      check_same_time(once.limits[i].hold_time(), halved.limits[i].hold_time(), 1e-3);
    }
  }
}

TEST_CASE("columns at a rough accuracy, with a rough mesh, keep the hold time of every example",
          "[solver]") {
  for (auto c : examples()) {
    INFO(c.title);
    c.run.detail = cases::Detail::one_d;
    c.run.accuracy = 0.05;
    const auto fine = solver::run_case(c);
    c.run.accuracy = 0.5;
    const auto rough = solver::run_case(c);
    REQUIRE(rough.summary.completed);
    CHECK(rough.summary.closure <= 1e-9);
    CHECK(rough.summary.newton_iterations < fine.summary.newton_iterations);
    for (std::size_t i = 0; i < fine.limits.size(); ++i) {
      INFO(fine.limits[i].limit.name);
      check_same_hold_time(c, fine.limits[i], rough.limits[i].hold_time());
    }
  }
}

// The bar: 1 % of the finest (the same as for random boxes, validation "Default detail"), or what
// 0.1 K of the limit makes of a flat curve: half of what a thermocouple is worth.
TEST_CASE("the default detail keeps the hold time of every example", "[solver][section]") {
  for (auto c : examples()) {
    if (c.run.detail == cases::Detail::one_d) continue;
    INFO(c.title);
    CHECK(c.run.accuracy == Approx(0.2));
    const auto usual = solver::run_case(c);
    REQUIRE(usual.summary.completed);
    CHECK(usual.summary.closure <= 1e-9);
    c.run.accuracy = 0.05;
    auto fine = c;
    const auto finer = solver::run_case(fine);
    for (std::size_t i = 0; i < usual.limits.size(); ++i) {
      INFO(usual.limits[i].limit.name);
      const double hold = finer.limits[i].hold_time();
      const double rough = usual.limits[i].hold_time();
      if (hold < 0 || rough < 0 || std::abs(rough - hold) <= 0.01 * hold) {
        check_same_time(hold, rough, 0.01);
        continue;
      }
      const auto hold_at = [&fine, i](double by) {
        auto moved = fine;
        moved.limits[i].temperature += by;
        return solver::run_case(moved).limits[i].hold_time();
      };
      const auto [least, most] = std::minmax({hold_at(-0.1), hold_at(0.1)});
      CHECK(rough >= least);
      CHECK(rough <= most);
    }
  }
}
