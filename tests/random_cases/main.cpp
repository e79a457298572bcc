#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <vector>

#include "cases/input_error.hpp"
#include "random_cases/judge_run.hpp"
#include "random_cases/random_case.hpp"

// Random valid cases through the library. Reports those that fail and leaves them as files that
// `thawline run` reads.

using namespace thawline;
using namespace thawline::random_cases;

namespace {

struct Wanted {
  std::uint64_t seed = 1;
  int first = 0, number = 300, jobs = 1;
  std::string detail = "1d";
  std::string keep = "failed-cases";
  std::string write = "";
  std::string materials = THAWLINE_MATERIALS;
};

struct Outcome {
  DrawnCase drawn;
  Judgement judged;
  int refused = 0;  ///< draws before it whose packs did not fit
};

/// No case takes more iterations of Newton than this many times the median of its kin.
constexpr double most_times_median = 20;
/// Sections whose packs do not lie beside each other are drawn again, at most this often each.
constexpr int most_draws = 10;
constexpr int most_steps = 60000;

Kind kind_of(const Wanted& wanted, int index) {
  if (wanted.detail == "1d") return Kind::columns;
  return index % 3 == 2 ? Kind::section_with_air : Kind::section;
}

/// Cases that should take about as much work; a trace may cost half as much again.
std::string kin_of(const DrawnCase& drawn) {
  return drawn.kind == Kind::columns   ? "columns"
         : drawn.kind == Kind::section ? "sections"
                                       : "sections with conducting air";
}

/// Draws and runs one case. A section that the mesh refuses is drawn again.
Outcome outcome_of(const Wanted& wanted, int index, const cases::MaterialShelf& shelf) {
  Outcome outcome;
  const Kind kind = kind_of(wanted, index);
  for (int again = 0; again < most_draws; ++again) {
    const auto which =
        static_cast<std::uint64_t>(index) + static_cast<std::uint64_t>(again) * 1000000000U;
    try {
      outcome.drawn.name = fmt::format("case-{}-{}", wanted.seed, which);
      outcome.drawn = draw_case(wanted.seed, which, kind, shelf);
      outcome.judged = judge_run(read(outcome.drawn, shelf), most_steps);
    } catch (const std::exception& error) {
      outcome.judged = {};
      outcome.judged.problem = fmt::format("the reader refuses it: {}", error.what());
      return outcome;
    }
    if (!outcome.judged.refused || kind == Kind::columns) break;
    ++outcome.refused;
  }
  return outcome;
}

void write_case(const std::string& folder, const DrawnCase& drawn) {
  const std::filesystem::path to(folder);
  std::filesystem::create_directories(to);
  std::ofstream(to / (drawn.name + ".yaml")) << drawn.yaml;
  if (!drawn.trace.empty()) std::ofstream(to / (drawn.name + ".csv")) << drawn.trace;
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Notes those that took too much work beside their kin, and prints a line about these.
void compare_work(const std::string& kin, const std::vector<Outcome*>& outcomes) {
  std::vector<double> iterations;
  Judgement most;
  for (const Outcome* outcome : outcomes) {
    const Judgement& judged = outcome->judged;
    iterations.push_back(judged.newton_iterations);
    most.newton_iterations = std::max(most.newton_iterations, judged.newton_iterations);
    most.outside = std::max(most.outside, judged.outside);
    most.unbalanced = std::max(most.unbalanced, judged.unbalanced);
  }
  const double middle = median(iterations);
  fmt::print(
      "{}: {} run to the end; iterations: median {:.0f}, most {}; farthest outside what was "
      "put in {:.2g} K; most heat that does not add up {:.2g} J\n",
      kin, outcomes.size(), middle, most.newton_iterations, most.outside, most.unbalanced);
  for (Outcome* outcome : outcomes) {
    Judgement& judged = outcome->judged;
    if (judged.newton_iterations <= most_times_median * middle) continue;
    judged.problem = fmt::format(
        "{:.1f} times the median work: {} iterations in {} steps, {} more "
        "rejected, of {} cells",
        judged.newton_iterations / middle, judged.newton_iterations, judged.steps, judged.rejected,
        judged.cells);
  }
}

void compare_work(std::vector<Outcome>& outcomes) {
  std::map<std::string, std::vector<Outcome*>> kins;
  for (auto& outcome : outcomes) {
    if (outcome.judged.problem.empty()) kins[kin_of(outcome.drawn)].push_back(&outcome);
  }
  for (const auto& [kin, all] : kins) compare_work(kin, all);
}

int run(const Wanted& wanted) {
  const auto shelf = cases::read_material_folder(wanted.materials);
  std::vector<Outcome> outcomes(static_cast<std::size_t>(wanted.number));
#pragma omp parallel for schedule(dynamic) num_threads(wanted.jobs)
  for (int i = 0; i < wanted.number; ++i) {
    outcomes[static_cast<std::size_t>(i)] = outcome_of(wanted, wanted.first + i, shelf);
  }
  compare_work(outcomes);
  int failed = 0;
  int refused = 0;
  for (const auto& [drawn, judged, before] : outcomes) {
    refused += before;
    if (!wanted.write.empty() && !drawn.yaml.empty()) write_case(wanted.write, drawn);
    if (judged.problem.empty()) continue;
    ++failed;
    if (!drawn.yaml.empty()) write_case(wanted.keep, drawn);
    fmt::print("{}: {}\n", drawn.name, judged.problem);
  }
  if (refused > 0) fmt::print("{} draws were refused, as their packs did not fit\n", refused);
  fmt::print("{} cases of seed {}, {} failed{}\n", wanted.number, wanted.seed, failed,
             failed > 0 ? "; they are in " + wanted.keep : "");
  return failed > 0 ? 1 : 0;
}

}  // namespace

int main(int count, char** arguments) {
  Wanted wanted;
  CLI::App app("Random valid cases through the library.");
  app.add_option("--seed", wanted.seed)->capture_default_str();
  app.add_option("--first", wanted.first, "index of the first case")->capture_default_str();
  app.add_option("--number", wanted.number, "how many cases")->capture_default_str();
  app.add_option("--detail", wanted.detail)
      ->check(CLI::IsMember({"1d", "2d"}))
      ->capture_default_str();
  app.add_option("--jobs", wanted.jobs, "cases at a time")->capture_default_str();
  app.add_option("--keep", wanted.keep, "folder for cases that fail")->capture_default_str();
  app.add_option("--write", wanted.write, "folder for every case, failed or not");
  app.add_option("--materials", wanted.materials)->capture_default_str();
  CLI11_PARSE(app, count, arguments);
  return run(wanted);
}
