#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <deque>
#include <iostream>
#include <map>

#include "speed/bench_cases.hpp"
#include "speed/lane_curves.hpp"
#include "speed/lane_elimination.hpp"
#include "speed/lane_states.hpp"
#include "speed/sweeps.hpp"

// What lanes gain: the elimination of a Newton iteration and T(h) of all cells, for neighbouring
// gel boxes in 1, 2, 4 and 8 lanes, with the instructions every processor has and with AVX2. Beside
// them the library's own for one case, and its march, of which they are shares. What lanes work out
// is held against the library first.

using namespace thawline;
using validation::AmidMarch;
using validation::Lane;
using validation::LaneCell;
using validation::LanePattern;
using validation::LaneSystem;

namespace {

constexpr int most_lanes = 8;
constexpr double middle = 10 * 3600;  // s, while the gel melts

/// Neighbours of a sweep of 32 whose networks are alike.
const std::deque<AmidMarch>& group() {
  static const auto all = [] {
    const auto sweep = validation::coolant_sweep(validation::gel_box(), 32);
    std::deque<AmidMarch> amid;
    for (std::size_t i = 12; amid.size() < most_lanes; ++i) {
      amid.push_back(validation::amid_march(sweep.cases[i], middle));
    }
    return amid;
  }();
  return all;
}

const LanePattern& pattern() {
  static const auto of_all = [] {
    std::vector<solver::BorderedSystem> factored;
    for (const auto& amid : group()) {
      factored.push_back(amid.system);
      factored.back().factor();
    }
    return validation::pattern_of(factored);
  }();
  return of_all;
}

template <class L>
LaneSystem<L> lane_system() {
  LaneSystem<L> s;
  const auto cells = static_cast<std::size_t>(pattern().cells);
  const auto hubs = static_cast<std::size_t>(pattern().hubs);
  for (auto* of_cells : {&s.cells, &s.multiplier, &s.pivot, &s.inner_response, &s.outer_response}) {
    of_cells->resize(cells);
  }
  for (auto* of_hubs : {&s.surfaces, &s.inverse, &s.turns}) of_hubs->resize(hubs);
  s.factors.resize(hubs * hubs);
  for (int l = 0; l < L::cases; ++l) {
    const AmidMarch& amid = group()[static_cast<std::size_t>(l)];
    const auto take = [&](const auto& from, std::vector<L>& to) {
      to.resize(static_cast<std::size_t>(from.size()));
      for (std::size_t i = 0; i < to.size(); ++i) {
        to[i][l] = from.data()[i];
      }
    };
    take(amid.system.lower, s.lower);
    take(amid.system.diagonal, s.diagonal);
    take(amid.system.upper, s.upper);
    take(amid.system.inner_b, s.inner_b);
    take(amid.system.outer_b, s.outer_b);
    take(amid.system.inner_c, s.inner_c);
    take(amid.system.outer_c, s.outer_c);
    take(Eigen::MatrixXd(amid.system.hubs.transpose()), s.hubs);
    take(amid.cells, s.cell_values);
    take(amid.hubs, s.hub_values);
  }
  return s;
}

const validation::CurveTable* table(const solver::HeatBalance& balance, int cell) {
  static std::map<int, validation::CurveTable> by_material;
  if (balance.curve(cell).is_straight()) return nullptr;
  const int material = balance.network().cells[static_cast<std::size_t>(cell)].material;
  const auto found = by_material.find(material);
  if (found != by_material.end()) return &found->second;
  return &by_material.emplace(material, validation::table_of(balance.curve(cell))).first->second;
}

template <class L>
std::vector<LaneCell<L>> lane_cells() {
  std::vector<LaneCell<L>> cells(static_cast<std::size_t>(group().front().balance.cells()));
  for (int i = 0; i < static_cast<int>(cells.size()); ++i) {
    LaneCell<L>& cell = cells[static_cast<std::size_t>(i)];
    cell.table = table(group().front().balance, i);
    for (int l = 0; l < L::cases; ++l) {
      const AmidMarch& amid = group()[static_cast<std::size_t>(l)];
      const auto zero = amid.balance.curve(i).at(0);
      cell.mass[l] = amid.balance.mass(i);
      cell.enthalpy[l] = amid.state.enthalpy[i];
      cell.zero[l] = zero.temperature;
      cell.slope[l] = zero.slope / amid.balance.mass(i);
    }
  }
  return cells;
}

template <class L>
void eliminate_plain(const LanePattern& pattern, LaneSystem<L>& system) {
  validation::eliminate<L>(pattern, system);
}
template <class L>
[[gnu::target("avx2,fma")]] void eliminate_avx2(const LanePattern& pattern, LaneSystem<L>& system) {
  validation::eliminate<L>(pattern, system);
}
template <class L>
void update_plain(std::vector<LaneCell<L>>& cells) {
  validation::update_temperatures<L>(cells);
}
template <class L>
[[gnu::target("avx2,fma")]] void update_avx2(std::vector<LaneCell<L>>& cells) {
  validation::update_temperatures<L>(cells);
}

template <class L>
using Eliminate = void (*)(const LanePattern&, LaneSystem<L>&);
template <class L>
using Update = void (*)(std::vector<LaneCell<L>>&);

template <class L>
void elimination(benchmark::State& state, Eliminate<L> eliminate) {
  auto system = lane_system<L>();
  for (auto _ : state) {
    eliminate(pattern(), system);
    benchmark::DoNotOptimize(&system.cells[0]);
    benchmark::ClobberMemory();
  }
}

template <class L>
void temperatures(benchmark::State& state, Update<L> update) {
  auto cells = lane_cells<L>();
  for (auto _ : state) {
    update(cells);
    benchmark::DoNotOptimize(cells.data());
    benchmark::ClobberMemory();
  }
}

void elimination_library(benchmark::State& state) {
  auto system = group().front().system;
  const Eigen::MatrixXd hubs = system.hubs;
  Eigen::VectorXd cells;
  Eigen::VectorXd hub_values;
  for (auto _ : state) {
    system.hubs = hubs;
    cells = group().front().cells;
    hub_values = group().front().hubs;
    system.factor();
    system.solve(cells, hub_values);
    benchmark::DoNotOptimize(cells.data());
  }
}

[[noreturn]] void fail(const char* what) {
  std::cerr << "lanes: not as in the library: " << what << "\n";
  std::exit(1);
}

template <class L>
void check(Eliminate<L> eliminate, Update<L> update) {
  auto system = lane_system<L>();
  eliminate(pattern(), system);
  auto cells = lane_cells<L>();
  update(cells);
  for (int l = 0; l < L::cases; ++l) {
    const AmidMarch& amid = group()[static_cast<std::size_t>(l)];
    auto own = amid.system;
    Eigen::VectorXd x = amid.cells;
    Eigen::VectorXd y = amid.hubs;
    own.factor();
    own.solve(x, y);
    const double cell_bar = 1e-9 * x.cwiseAbs().maxCoeff();
    for (int i = 0; i < pattern().cells; ++i) {
      const double of_lane = system.cells[static_cast<std::size_t>(i)][l];
      if (!(std::abs(of_lane - x[i]) <= cell_bar)) fail("elimination, cells");
    }
    const double hub_bar = 1e-9 * y.cwiseAbs().maxCoeff();
    for (int h = 0; h < pattern().hubs; ++h) {
      const double of_lane = system.surfaces[static_cast<std::size_t>(h)][l];
      if (!(std::abs(of_lane - y[h]) <= hub_bar)) fail("elimination, hubs");
    }
    for (int i = 0; i < amid.balance.cells(); ++i) {
      auto& cell = cells[static_cast<std::size_t>(i)];
      const auto right = amid.balance.thermal_state(amid.state, i);
      if (!(std::abs(cell.temperature[l] - right.temperature) < 1e-9)) fail("T(h)");
      const double slope = right.slope / amid.balance.mass(i);
      if (!(std::abs(cell.slope[l] - slope) <= 1e-9 * slope)) fail("slope of T(h)");
    }
  }
}

template <class L>
void add(const std::string& instructions, Eliminate<L> eliminate, Update<L> update) {
  check<L>(eliminate, update);
  const std::string name = "/" + instructions + "/" + std::to_string(L::cases);
  benchmark::RegisterBenchmark(("elimination" + name).c_str(), elimination<L>, eliminate);
  benchmark::RegisterBenchmark(("temperatures" + name).c_str(), temperatures<L>, update);
}

template <int n>
void add() {
  using Plain = Lane<n, std::min(n, 2)>;
  using Wide = Lane<n, std::min(n, 4)>;
  add<Plain>("plain", eliminate_plain<Plain>, update_plain<Plain>);
  if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) {
    add<Wide>("avx2", eliminate_avx2<Wide>, update_avx2<Wide>);
  }
}

}  // namespace

int main(int count, char** words) {
  for (const AmidMarch& amid : group()) {
    if (amid.balance.cells() != group().front().balance.cells())
      fail("neighbours of one structure");
  }
  add<1>();
  add<2>();
  add<4>();
  add<8>();
  benchmark::RegisterBenchmark("elimination_library", elimination_library);
  benchmark::Initialize(&count, words);
  benchmark::RunSpecifiedBenchmarks();
}
