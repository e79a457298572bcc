#include <catch2/catch.hpp>
#include <limits>

#include "support/one_column.hpp"

using namespace thawline;

// A residual that is not a number must never pass for a small one.
TEST_CASE("a march that meets values that are no numbers stops and says where", "[solver]") {
  auto network = test::lump(test::plain_material(0.6, 1000, 4200), 1, 293.15, 0.5);
  network.links[0].conductance = std::numeric_limits<double>::quiet_NaN();
  solver::HeatBalance balance(network);
  test::LastState last;
  const auto summary =
      solver::march(balance, test::steady_schedule(303.15, 303.15, 3600), {}, last);
  CHECK_FALSE(summary.completed);
  CHECK(summary.stop_reason.find("could not be") != std::string::npos);
}
