#include <omp.h>

#include <bit>
#include <cstdio>

#include "library_json.hpp"
#include "mesh/section/grid_plan.hpp"
#include "solver/march/steady_state.hpp"

// Works plane and round sections through the public library. Reads a JSON list of jobs from
// standard input and prints a JSON list of answers. A job:
//   x, z       lines of the grid (m, rising); of a round one x is the radius
//   round      true or false; a plane one is `depth` m deep, 1 unless given
//   materials  as in library_json.hpp
//   regions    [{material: index, −1 for a hole; x: [low, high], z: [low, high]}], later ones over
//              earlier ones; without regions all is of the first material
//   borders    {"low x", "high x", "low z", "high z", "hole": {to: "air" or "ground", coefficient:
//              W/m2/K}}; a border that is not named is a plane of symmetry
//   start      K
//   air, ground   temperatures (K) outside; in a march, air may be a trace
//   threads    1 unless given
//   steady     K, tolerance: no time passes; with `method` "direct" or "iterative"
//   times, accuracy, fixed_step     as in a march: s, K, s (0: steps are controlled)
//   brief      true: the answer has no fields
// An answer has the cells in the order of the grid, row by row of z, without holes.

using namespace thawline;
using validation::json;

namespace {

struct Region {
  int material = 0;
  std::vector<double> x, z;

  [[nodiscard]] bool holds(double at_x, double at_z) const {
    return x[0] < at_x && at_x < x[1] && z[0] < at_z && at_z < z[1];
  }
};

std::vector<Region> regions_of(const json& job) {
  std::vector<Region> regions;
  for (const auto& j : job.value("regions", json::array())) {
    regions.push_back({j.at("material"), j.at("x"), j.at("z")});
  }
  return regions;
}

mesh::section::GridPlan plan_of(const json& job) {
  mesh::section::GridPlan plan;
  plan.round = job.value("round", false);
  plan.breadth = plan.round ? mesh::breadth_of_round() : mesh::Breadth{job.value("depth", 1.0)};
  plan.x = job.at("x").get<std::vector<double>>();
  plan.z = job.at("z").get<std::vector<double>>();
  const json& borders = job.at("borders");
  plan.open = {borders.contains("low x"), borders.contains("high x"), borders.contains("low z"),
               borders.contains("high z")};
  const auto regions = regions_of(job);
  const double start = job.at("start");
  for (std::size_t k = 0; k + 1 < plan.z.size(); ++k) {
    for (std::size_t i = 0; i + 1 < plan.x.size(); ++i) {
      int material = 0;
      for (const Region& region : regions) {
        const bool here =
            region.holds((plan.x[i] + plan.x[i + 1]) / 2, (plan.z[k] + plan.z[k + 1]) / 2);
        if (here) material = region.material;
      }
      plan.fill.push_back({material < 0 ? -1 : 0, material, 0, -1, {start, -1}});
    }
  }
  return plan;
}

std::string border_of(const mesh::section::GridSurface& surface) {
  if (surface.beyond == mesh::section::nothing) return "hole";
  return std::string(surface.low ? "low " : "high ") + (surface.axis == 0 ? "x" : "z");
}

struct Section {
  mesh::Network network;
  json surfaces = json::array();  ///< [{border, x, z, area}] by hub
};

Section section_of(const json& job) {
  Section section;
  mesh::NetworkBuilder builder(section.network, {});
  section.network.paths = {"ground", "air"};
  section.network.parts = {"section"};
  for (const auto& material : job.at("materials")) {
    (void)builder.add_material(validation::material_from(material), 1);
  }
  for (const auto& surface : mesh::section::add_grid(plan_of(job), section.network, builder)) {
    const std::string border = border_of(surface);
    section.surfaces.push_back(
        {{"border", border}, {"x", surface.x}, {"z", surface.z}, {"area", surface.area}});
    if (!job.at("borders").contains(border)) continue;
    const json& end = job.at("borders").at(border);
    const bool air = end.at("to") == "air";
    builder.add(builder.to_outside(
        surface.hub, air ? mesh::Outside::air : mesh::Outside::ground, mesh::Law::conductance,
        surface.area * end.at("coefficient").get<double>(), air ? 1 : 0));
  }
  builder.finish();
  return section;
}

/// A number that changes with any bit of the values (FNV-1a).
class Fingerprint {
 public:
  void add(const Eigen::VectorXd& values) {
    for (const double value : values) {
      hash_ = (hash_ ^ std::bit_cast<std::uint64_t>(value)) * 1099511628211U;
    }
  }
  [[nodiscard]] std::string text() const { return std::to_string(hash_); }

 private:
  std::uint64_t hash_ = 14695981039346656037U;
};

std::string bits_of(const solver::State& state, const solver::Rates& rates) {
  Fingerprint bits;
  bits.add(state.enthalpy);
  bits.add(state.surface);
  bits.add(rates.cells);
  bits.add(rates.paths);
  return bits.text();
}

json steady_answer(const json& job, solver::HeatBalance& balance) {
  const std::string named = job.value("method", "by size");
  const auto method = named == "direct"      ? solver::LinearMethod::cholesky
                      : named == "iterative" ? solver::LinearMethod::multigrid
                                             : solver::LinearMethod::by_structure;
  const double air = job.at("air").at("constant");
  const auto steady =
      solver::steady_state(balance, {air, job.at("ground"), 0}, job.at("steady"), method);
  std::vector<double> temperature;
  for (int i = 0; i < balance.cells(); ++i) {
    temperature.push_back(balance.thermal_state(steady.state, i).temperature);
  }
  return {
      {"completed", steady.found},
      {"why", "no steady state found"},
      {"iterations", steady.iterations},
      {"temperature", temperature},
      {"surface", std::vector<double>(steady.state.surface.begin(), steady.state.surface.end())},
      {"power", std::vector<double>(steady.rates.paths.begin(), steady.rates.paths.end())},
      {"bits", bits_of(steady.state, steady.rates)}};
}

/// Snapshots, and the bits of the last one.
class Bits : public validation::Snapshots {
 public:
  using Snapshots::Snapshots;
  void after_step(const solver::StepView& view) override {
    Snapshots::after_step(view);
    last = bits_of(*view.to, *view.to_rates);
  }
  std::string last;
};

json march_answer(const json& job, solver::HeatBalance& balance) {
  const std::vector<double> times = job.at("times");
  solver::MarchOptions options;
  options.accuracy = job.at("accuracy");
  options.longest_step = times.back();
  options.fixed_step = job.value("fixed_step", 0.0);
  Bits watcher(times);
  const auto schedule =
      validation::schedule_through(times, validation::air_from(job.at("air")), job.at("ground"));
  const auto summary = solver::march(balance, schedule, options, watcher);
  return {{"completed", summary.completed}, {"why", summary.stop_reason},
          {"closure", summary.closure},     {"steps", summary.steps},
          {"shots", watcher.shots},         {"bits", watcher.last}};
}

json answer_to(const json& job) {
  omp_set_num_threads(job.value("threads", 1));
  Section section = section_of(job);
  const json volume = [&] {
    std::vector<double> v;
    for (const auto& cell : section.network.cells) v.push_back(cell.volume);
    return v;
  }();
  solver::HeatBalance balance(section.network);
  json answer = job.contains("steady") ? steady_answer(job, balance) : march_answer(job, balance);
  answer["cells"] = balance.cells();
  if (job.value("brief", false)) {
    answer.erase("temperature");
    answer.erase("surface");
    answer.erase("shots");
    return answer;
  }
  answer["volume"] = volume;
  answer["surfaces"] = section.surfaces;
  return answer;
}

}  // namespace

int main() {
  const json jobs = json::parse(std::cin);
  json answers = json::array();
  for (const auto& job : jobs) answers.push_back(answer_to(job));
  std::cout << answers << "\n";
}
