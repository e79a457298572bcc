#include <catch2/catch.hpp>
#include <filesystem>

#include "cases/read_case.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;
using Catch::Detail::Approx;

namespace {

cases::Case example(const std::string& name) {
  const std::string root = THAWLINE_SOURCE_DIR;
  return cases::read_case(root + "/cases/examples/" + name + ".yaml",
                          cases::read_material_folder(root + "/cases/materials"));
}

/// A limit of a case as a run of its own tells it, moved outward by `by` (K).
solver::Hold moved(cases::Case c, std::size_t which, double by) {
  auto& limit = c.limits[which];
  limit.temperature += limit.side == cases::Side::not_above ? by : -by;
  const auto r = solver::run_case(c).limits[which];
  return {r.chill_time, r.end_time};
}

void check_same(const solver::Hold& told, const solver::Hold& run) {
  CHECK((told.chill_time < 0) == (run.chill_time < 0));
  CHECK((told.end_time < 0) == (run.end_time < 0));
  CHECK(told.held(1e6) == Approx(run.held(1e6)).epsilon(0.02).margin(1));
}

}  // namespace

// Against two extra runs with the limit moved.
TEST_CASE("what a logger's error makes of a hold time", "[solver][worth]") {
  for (const char* name : {"fishing-boat", "must-not-freeze", "goods-at-5-degc", "thin-box",
                           "slabs-and-drinks", "frozen-goods", "delivery-round"}) {
    cases::Case c = example(name);
    for (const double error : {0.5, 0.2}) {
      for (auto& limit : c.limits) limit.logger_error = error;
      const auto limits = solver::run_case(c).limits;
      for (std::size_t i = 0; i < limits.size(); ++i) {
        INFO(name << ", " << limits[i].limit.name << ", " << error << " K");
        check_same(limits[i].tighter, moved(c, i, -error));
        check_same(limits[i].looser, moved(c, i, error));
      }
    }
  }
}

TEST_CASE("a hold time is flat where a logger's error is worth a tenth of it", "[solver][worth]") {
  constexpr double h = 3600;
  solver::LimitResult r;
  r.chill_time = 0;
  r.end_time = 20 * h;
  r.known_until = 48 * h;
  r.tighter = {0, 18.5 * h};
  r.looser = {0, 21.5 * h};
  CHECK_FALSE(r.is_flat(48 * h));
  r.tighter.end_time = 17.5 * h;
  CHECK(r.is_flat(48 * h));
  CHECK(r.held_least(48 * h) == 17.5 * h);
  CHECK(r.held_most(48 * h) == 21.5 * h);
  r.tighter.end_time = 18.5 * h;
  r.looser = {0, solver::never};  // outlasts the run
  CHECK(r.is_flat(48 * h));
  CHECK(r.held_most(48 * h) == 48 * h);
  r.looser = {0, 21 * h};
  r.tighter = {};  // never met
  CHECK(r.is_flat(48 * h));
  CHECK(r.held_least(48 * h) == 0);
  r.chill_time = solver::never;
  CHECK_FALSE(r.is_flat(48 * h));
}
