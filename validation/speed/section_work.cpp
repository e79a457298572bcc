#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <stdexcept>

#include "cases/read_case.hpp"
#include "library_json.hpp"
#include "library_march.hpp"
#include "processor_time.hpp"
#include "section_peer.hpp"

// Marches one section by the library and by SUNDIALS CVODE and IDA with KLU, round after round in
// which all take turns, and prints times (s of the processor) and errors as JSON.
//
//   section_work CASE.yaml MATERIALS FINENESS HOURS ROUNDS [OPTION=VALUE…] RUN…
//
// A run is SOLVER@K[,SETTING=VALUE…], with library, CVODE or IDA at a tolerance in K and, for
// peers, the settings of PeerSettings:
//   order=2 melting=40 change=0.3 steps=20 iterations=3 share=0.1 growth=1.1 failure=0.5
//   fronts=step ordering=nested
// Options:
//   reference=RUN   errors are those against it (library@0.0005); run once, after the rounds
//   beside=RUN      how far it lies from the reference, run once
//   limit=SECONDS   a run is given up after so many, and not repeated in later rounds

using namespace thawline;
using validation::Answer;
using validation::farthest;
using validation::json;
using validation::PeerSettings;
using validation::Problem;
using validation::seconds_of_this_thread;

namespace {

constexpr double output_every = 1800;  // s

struct SectionRun {
  std::string words, solver;
  PeerSettings settings;
  std::vector<double> seconds;  ///< of the processor, by round
  Answer answer;
};

std::vector<std::string> split(const std::string& text, char by) {
  std::vector<std::string> parts;
  for (std::size_t begin = 0; begin <= text.size();) {
    const std::size_t end = std::min(text.find(by, begin), text.size());
    parts.push_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  return parts;
}

PeerSettings::Ordering ordering_of(const std::string& name) {
  if (name == "amd") return PeerSettings::Ordering::amd;
  if (name == "colamd") return PeerSettings::Ordering::colamd;
  if (name == "nested") return PeerSettings::Ordering::nested_dissection;
  throw std::invalid_argument("no ordering: " + name);
}

const std::map<std::string, int PeerSettings::*> whole_numbers{
    {"order", &PeerSettings::highest_order},
    {"steps", &PeerSettings::steps_a_matrix},
    {"iterations", &PeerSettings::most_iterations}};
const std::map<std::string, double PeerSettings::*> numbers{
    {"melting", &PeerSettings::melting_range},
    {"change", &PeerSettings::matrix_change},
    {"growth", &PeerSettings::least_growth},
    {"failure", &PeerSettings::after_failure},
    {"share", &PeerSettings::newton_share}};

void set(PeerSettings& settings, const std::string& key, const std::string& value) {
  if (key == "ordering") {
    settings.ordering = ordering_of(value);
  } else if (key == "fronts") {
    settings.fronts_by_step = value == "step";
  } else if (const auto whole = whole_numbers.find(key); whole != whole_numbers.end()) {
    settings.*whole->second = std::stoi(value);
  } else if (const auto number = numbers.find(key); number != numbers.end()) {
    settings.*number->second = std::stod(value);
  } else {
    throw std::invalid_argument("no setting: " + key);
  }
}

SectionRun run_of(const std::string& words) {
  SectionRun run{words, words.substr(0, words.find('@')), {}, {}, {}};
  const auto parts = split(words.substr(words.find('@') + 1), ',');
  run.settings.tolerance = std::stod(parts.front());
  run.settings.output_every = output_every;
  for (std::size_t i = 1; i < parts.size(); ++i) {
    const auto pair = split(parts[i], '=');
    set(run.settings, pair.at(0), pair.at(1));
  }
  return run;
}

/// An answer that says why where an integrator gives up.
Answer march(const Problem& problem, const SectionRun& run) try {
  const PeerSettings& settings = run.settings;
  if (run.solver == "CVODE") return validation::section_by_cvode(problem, settings);
  if (run.solver == "IDA") return validation::section_by_ida(problem, settings);
  return validation::by_library(problem, settings.tolerance, output_every, settings.most_seconds);
} catch (const std::runtime_error& error) {
  Answer none;
  none.gave_up = error.what();
  return none;
}

void time(const Problem& problem, SectionRun& run) {
  const double begin = seconds_of_this_thread();
  run.answer = march(problem, run);
  run.seconds.push_back(seconds_of_this_thread() - begin);
}

json row_of(const SectionRun& run, const Answer& exact) {
  const Answer& answer = run.answer;
  json row{{"run", run.words},
           {"solver", run.solver},
           {"tolerance_K", run.settings.tolerance},
           {"seconds", run.seconds},
           {"completed", answer.completed},
           {"reached_h", answer.reached / 3600},
           {"steps", answer.steps},
           {"attempts", answer.attempts},
           {"failed", answer.failed},
           {"iterations", answer.iterations},
           {"evaluations", answer.evaluations},
           {"factorings", answer.factorings}};
  if (!answer.completed) row["gave_up"] = answer.gave_up;
  if (answer.end > 0) row["end_h"] = answer.end / 3600;
  if (answer.end > 0 && exact.end > 0) {
    row["hold_time_error"] = std::abs(answer.end / exact.end - 1);
  }
  if (answer.completed) row["temperature_error_K"] = farthest(answer, exact);
  return row;
}

}  // namespace

int main(int count, char** words) {
  if (count < 6) return 2;
  auto c = cases::read_case(words[1], cases::read_material_folder(words[2]));
  c.run.detail = cases::Detail::two_d;
  c.run.section.fineness = std::stod(words[3]);
  c.run.section.most_cells = 5'000'000;
  c.run.duration = 3600 * std::stod(words[4]);
  const Problem problem = validation::problem_of(c, mesh::build_network(c, {1}));
  std::string reference = "library@0.0005";
  std::string beside;
  double limit = std::numeric_limits<double>::infinity();
  std::vector<SectionRun> runs;
  for (int i = 6; i < count; ++i) {
    const std::string word = words[i];
    const std::string key = word.substr(0, word.find('='));
    const std::string value = word.substr(word.find('=') + 1);
    if (key == "reference") {
      reference = value;
    } else if (key == "beside") {
      beside = value;
    } else if (key == "limit") {
      limit = std::stod(value);
    } else {
      runs.push_back(run_of(word));
    }
  }
  for (auto& run : runs) run.settings.most_seconds = limit;
  for (int round = 0; round < std::stoi(words[5]); ++round) {
    for (auto& run : runs) {
      if (round == 0 || run.answer.completed) time(problem, run);
    }
  }
  SectionRun exact = run_of(reference);
  time(problem, exact);
  json out{{"case", c.title},
           {"cells", problem.network.grid.count},
           {"unknowns", problem.network.cells.size() + problem.network.hubs.size()},
           {"hours", problem.schedule.duration / 3600},
           {"limit_s", std::isfinite(limit) ? json(limit) : json(nullptr)},
           {"reference", row_of(exact, exact.answer)},
           {"runs", json::array()}};
  if (!beside.empty()) {
    SectionRun other = run_of(beside);
    other.settings.most_seconds = 10 * exact.seconds.front() + 60;
    time(problem, other);
    out["beside"] = row_of(other, exact.answer);
  }
  for (const auto& run : runs) out["runs"].push_back(row_of(run, exact.answer));
  std::cout << out << "\n";
}
