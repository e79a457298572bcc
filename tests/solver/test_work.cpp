#include <catch2/catch.hpp>
#include <map>

#include "cases/read_case.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

// Guards the speed of a march without a clock: how many steps and iterations of Newton three cases
// take. A change that needs more of them must say why; one that needs fewer may lower the numbers.
TEST_CASE("the work of three cases does not grow by 5 %", "[solver]") {
  struct Work {
    int steps, iterations;
  };
  const std::map<std::string, std::pair<Work, Work>> known{
      // As columns at 0.05 K, and at 0.5 K.
      {"thin-box", {{223, 1197}, {116, 502}}},
      {"ice-melt-water-kept", {{249, 1155}, {146, 565}}},
      {"market-stall", {{354, 1483}, {193, 669}}},
  };
  const std::string root = THAWLINE_SOURCE_DIR;
  const auto shelf = cases::read_material_folder(root + "/cases/materials");
  for (const auto& [name, both] : known) {
    auto c = cases::read_case(root + "/cases/examples/" + name + ".yaml", shelf);
    c.run.detail = cases::Detail::one_d;
    for (const auto& [accuracy, work] : {std::pair{0.05, both.first}, {0.5, both.second}}) {
      c.run.accuracy = accuracy;
      const auto summary = solver::run_case(c).summary;
      INFO(name << " at " << accuracy << " K: " << summary.steps << " steps, "
                << summary.newton_iterations << " iterations");
      CHECK(summary.steps <= 1.05 * work.steps);
      CHECK(summary.newton_iterations <= 1.05 * work.iterations);
    }
  }
}

// The same of a section, with the iterations of conjugate gradients.
TEST_CASE("the work of a section does not grow by 5 %", "[solver][section]") {
  const std::string root = THAWLINE_SOURCE_DIR;
  auto c = cases::read_case(root + "/cases/examples/thin-box.yaml",
                            cases::read_material_folder(root + "/cases/materials"));
  c.run.detail = cases::Detail::two_d;
  c.run.accuracy = 0.05;
  const auto summary = solver::run_case(c).summary;
  INFO(summary.steps << " steps, " << summary.newton_iterations << " iterations of Newton, "
                     << summary.linear_iterations << " of conjugate gradients");
  CHECK(summary.steps <= 1.05 * 472);
  CHECK(summary.newton_iterations <= 1.05 * 2067);
  CHECK(static_cast<double>(summary.linear_iterations) <= 1.05 * 2912);
}
