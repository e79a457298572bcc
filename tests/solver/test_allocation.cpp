#include <atomic>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <new>

#include "cases/read_case.hpp"
#include "solver/march/march.hpp"
#include "support/one_column.hpp"

// Every allocation of this program is counted, so that the step loop can be shown to make none.

namespace {
std::atomic<long> allocations{0};
}

void* operator new(std::size_t size) {
  ++allocations;
  if (void* p = std::malloc(size == 0 ? 1 : size)) return p;
  throw std::bad_alloc();
}
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
  ++allocations;
  return std::malloc(size == 0 ? 1 : size);
}
void operator delete(void* p) noexcept { std::free(p); }
void operator delete(void* p, std::size_t) noexcept { std::free(p); }

using namespace thawline;

namespace {

struct Counter : solver::Watcher {
  void at_instant(const solver::StepView&) override {
    if (first < 0) first = allocations;
  }
  void after_step(const solver::StepView&) override {
    ++steps;
    last = allocations;
  }
  long first = -1, last = -1;
  int steps = 0;
};

}  // namespace

TEST_CASE("the step loop allocates nothing", "[solver]") {
  const std::string root = THAWLINE_SOURCE_DIR;
  const auto shelf = cases::read_material_folder(root + "/cases/materials");
  for (const char* name : {"market-stall", "must-not-freeze", "ice-melt-water-drained"}) {
    const auto c = cases::read_case(root + "/cases/examples/" + name + ".yaml", shelf);
    solver::HeatBalance balance(mesh::build_network(c));
    const auto schedule = solver::make_schedule(c);
    Counter counter;
    const auto summary = solver::march(balance, schedule, {}, counter);
    REQUIRE(summary.completed);
    REQUIRE(counter.steps > 50);
    INFO(name << ": " << counter.last - counter.first << " allocations in " << counter.steps
              << " steps");
    CHECK(counter.last == counter.first);
  }
}
