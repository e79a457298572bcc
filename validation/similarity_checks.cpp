#include <cmath>
#include <numbers>

#include "library_json.hpp"
#include "mesh/network.hpp"

// Runs single columns through the public library. Reads a JSON list of jobs from standard input and
// prints a JSON list of answers. A job:
//   geometry      "plane" (per m2), "cylinder" (per m) or "sphere"
//   layers        [{material, edges: [m, ascending]}]; the edges of layers follow on
//   start         K
//   inner, outer  null (insulated), or {to: "air" or "ground", conductance: W/K}
//   air, ground   temperatures (K) outside; air may be a trace
//   times         s, instants to look at
//   accuracy      K

using namespace thawline;
using validation::json;

namespace {

double volume_between(const std::string& geometry, double a, double b) {
  if (geometry == "plane") return b - a;
  if (geometry == "cylinder") return std::numbers::pi * (b * b - a * a);
  return 4 * std::numbers::pi / 3 * (b * b * b - a * a * a);
}

/// ∫ dy/A; 0 from the very axis, where no heat passes.
double shape_between(const std::string& geometry, double a, double b) {
  if (geometry == "plane") return b - a;
  if (a <= 0) return 0;
  if (geometry == "cylinder") return std::log(b / a) / (2 * std::numbers::pi);
  return (1 / a - 1 / b) / (4 * std::numbers::pi);
}

void add_end(mesh::Network& network, const json& end, const std::string& name, bool inner) {
  if (end.is_null()) return;
  network.hubs.push_back({name, -1, -1});
  network.paths.push_back(name);
  const int hub = static_cast<int>(network.hubs.size()) - 1;
  auto& column = network.columns.front();
  (inner ? column.inner_hub : column.outer_hub) = hub;
  mesh::Link link;
  link.a = hub;
  link.outside = end.at("to") == "air" ? mesh::Outside::air : mesh::Outside::ground;
  link.conductance = end.at("conductance");
  link.path = hub;
  network.links.push_back(link);
}

mesh::Network network_of(const json& job) {
  mesh::Network network;
  network.parts = {"column"};
  const std::string geometry = job.at("geometry");
  for (const auto& layer : job.at("layers")) {
    network.materials.push_back({validation::material_from(layer.at("material")), 1});
    const std::vector<double> edges = layer.at("edges");
    for (std::size_t i = 1; i < edges.size(); ++i) {
      const double a = edges[i - 1];
      const double b = edges[i];
      mesh::Cell cell;
      cell.material = static_cast<int>(network.materials.size()) - 1;
      cell.volume = volume_between(geometry, a, b);
      cell.depth = (a + b) / 2;
      cell.width = b - a;
      cell.inner_shape = shape_between(geometry, a, cell.depth);
      cell.outer_shape = shape_between(geometry, cell.depth, b);
      cell.start = {job.at("start"), -1};
      network.cells.push_back(cell);
    }
  }
  network.chain_cells = static_cast<int>(network.cells.size());
  network.columns = {{"column", 0, network.chain_cells, -1, -1, -1}};
  add_end(network, job.at("inner"), "inner", true);
  add_end(network, job.at("outer"), "outer", false);
  mesh::add_column_faces(network, network.columns.front());
  return network;
}

}  // namespace

int main() {
  const json jobs = json::parse(std::cin);
  json answers = json::array();
  for (const auto& job : jobs) {
    answers.push_back(
        validation::march_through(network_of(job), validation::air_from(job.at("air")),
                                  job.at("ground"), job.at("times"), job.at("accuracy")));
  }
  std::cout << answers << "\n";
}
