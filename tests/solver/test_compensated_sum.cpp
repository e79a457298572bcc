#include <catch2/catch.hpp>

#include "solver/linear/compensated_sum.hpp"

using thawline::solver::CompensatedSum;

TEST_CASE("a compensated sum keeps terms too small for the sum they are added to", "[solver]") {
  CompensatedSum sum;
  double plain = 1e6;
  sum.add(1e6);
  for (int i = 0; i < 1'000'000; ++i) {
    sum.add(1e-11);
    plain += 1e-11;
  }
  CHECK(plain == 1e6);  // each term is lost
  CHECK(sum.value() - 1e6 == Approx(1e-5).epsilon(1e-4));
  sum.add(-1e6);
  CHECK(sum.value() == Approx(1e-5).epsilon(1e-9));
  sum.add(1e300);
  sum.add(-1e300);
  CHECK(sum.value() == Approx(1e-5).epsilon(1e-9));
}
