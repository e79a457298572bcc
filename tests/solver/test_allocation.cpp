#include <catch2/catch.hpp>

#include <Eigen/Dense>
#include <cstdlib>
#include <memory>
#include <vector>

#include "cases/read_case.hpp"
#include "solver/march/march.hpp"
#include "support/allocations.hpp"

using namespace thawline;
using test::allocations;

namespace {

/// Allocations from the first instant shown (the start) to the last.
struct Counts {
  long first = -1, last = -1;
  int steps = 0;
};

class Counter : public solver::Watcher {
 public:
  explicit Counter(Counts& counts) : counts_(counts) {}
  void at_instant(const solver::StepView&) override { take(); }
  void after_step(const solver::StepView&) override {
    ++counts_.steps;
    take();
  }

 private:
  void take() {
    if (counts_.first < 0) counts_.first = allocations();
    counts_.last = allocations();
  }
  Counts& counts_;
};

struct Marched {
  Counts counts;
  solver::Summary summary;
};

Marched marched(const std::string& name, cases::Detail detail, double fineness = 1) {
  const std::string root = THAWLINE_SOURCE_DIR;
  auto c = cases::read_case(root + "/cases/examples/" + name + ".yaml",
                            cases::read_material_folder(root + "/cases/materials"));
  c.run.detail = detail;
  c.run.accuracy = 0.05;
  c.run.section.fineness = fineness;
  solver::HeatBalance balance(mesh::build_network(c));
  const auto schedule = solver::make_schedule(c);
  Marched marched;
  Counter counter(marched.counts);
  marched.summary = solver::march(balance, schedule, {}, counter);
  REQUIRE(marched.summary.completed);
  REQUIRE(marched.counts.steps > 50);
  return marched;
}

/// Keeps the compiler from leaving out memory that nobody looks at.
void use(void* memory) { __asm__ volatile("" : : "g"(memory) : "memory"); }

}  // namespace

TEST_CASE("every way to memory is counted", "[solver]") {
  const auto by = [](const auto& act) {
    const long before = allocations();
    void* memory = act();
    const long after = allocations();
    use(memory);
    std::free(memory);
    return after - before;
  };
  CHECK(by([] { return std::malloc(100); }) == 1);
  CHECK(by([] { return std::calloc(10, 10); }) == 1);
  CHECK(by([] { return std::realloc(nullptr, 100); }) == 1);
  CHECK(by([] { return std::aligned_alloc(64, 640); }) == 1);
  const long before = allocations();
  Eigen::VectorXd eigen = Eigen::VectorXd::Zero(100);
  use(eigen.data());
  CHECK(allocations() == before + 1);
  std::vector<double> standard(100);
  use(standard.data());
  CHECK(allocations() == before + 2);
}

TEST_CASE("the step loop of columns allocates nothing", "[solver]") {
  for (const char* name : {"market-stall", "must-not-freeze", "ice-melt-water-drained"}) {
    const auto [counts, summary] = marched(name, cases::Detail::one_d);
    INFO(name << ": " << counts.last - counts.first << " allocations in " << counts.steps
              << " steps");
    CHECK(counts.last == counts.first);
  }
}

// Eigen's factoring of a sparse matrix makes some copies of its own. Nothing else may allocate, no
// matter how many cells and iterations of conjugate gradients there are.
TEST_CASE("the step loop of a section allocates to factor and for nothing else",
          "[solver][section]") {
  constexpr long by_one_factoring = 7;
  for (const char* name : {"thin-box", "must-not-freeze", "ice-melt-water-drained"}) {
    for (const double fineness : {0.4, 1.0}) {
      const auto [counts, summary] = marched(name, cases::Detail::two_d, fineness);
      // With conjugate gradients the coarsest grid and the bodies beside the grid are factored.
      const long factorings = (summary.linear_iterations > 0 ? 2L : 1L) * summary.newton_iterations;
      const long made = counts.last - counts.first;
      INFO(name << " at " << fineness << ": " << made << " allocations, " << counts.steps
                << " steps, " << summary.newton_iterations << " iterations of Newton, "
                << summary.linear_iterations << " of conjugate gradients");
      CHECK(made <= by_one_factoring * factorings);
    }
  }
}
