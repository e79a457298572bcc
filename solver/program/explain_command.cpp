#include "solver/program/explain_command.hpp"

#include <fmt/format.h>
#include <omp.h>

#include <chrono>
#include <filesystem>

#include "solver/explain/write_explained.hpp"
#include "solver/program/answer.hpp"
#include "solver/program/exit_code.hpp"
#include "solver/program/explain_report.hpp"
#include "solver/program/shipped_materials.hpp"

namespace thawline::program {

namespace ex = solver::explain;

CLI::App* add_explain_verb(CLI::App& app, ExplainSettings& settings) {
  auto* verb = app.add_subcommand(
      "explain", "Share the difference between two cases out among what they differ in");
  auto& q = settings.question;
  verb->add_option("FIRST", q.first_file, "Case file (YAML)")->required();
  verb->add_option("SECOND", q.second_file, "Case file it is held against")->required();
  verb->add_option("--of", settings.answer,
                   "held (how long a limit holds), worst (how warm its probes come) or heat (all "
                   "that comes in)")
      ->check(CLI::IsMember({"held", "worst", "heat"}))
      ->capture_default_str();
  verb->add_option("--limit", q.limit, "Name of the limit; by default the first of the first case")
      ->option_text("NAME");
  verb->add_option("--orders", q.orders, "Random orders, where more than ten groups differ")
      ->option_text("N")
      ->check(CLI::Range(4, 100000))
      ->capture_default_str();
  verb->add_option("--seed", q.seed, "Of the random orders")->capture_default_str();
  verb->add_option("--out", settings.out, "HDF5 file to write; by default FIRST-to-SECOND.h5, here")
      ->option_text("FILE");
  verb->add_option("--jobs", settings.jobs, "Cases computed at once; by default one a core")
      ->option_text("N")
      ->check(CLI::Range(1, 1024));
  verb->add_option("--materials", settings.materials, "Folder of material files")
      ->option_text("FOLDER");
  verb->add_flag("--json", settings.json, "Print the answers as JSON");
  verb->add_flag("--quiet", settings.quiet, "Print nothing");
  verb->footer(
      "Computes the cases between the two: all of them up to ten groups of inputs.\n"
      "postprocess/explained.py draws what it writes.\n"
      "Exit codes: 0 done, 2 bad input, 3 no order of the groups could be computed, 4 could not\n"
      "write.\n"
      "Example: thawline explain thin-box.yaml rotomoulded-box.yaml");
  return verb;
}

namespace {

std::string output_of(const ExplainSettings& settings) {
  namespace fs = std::filesystem;
  if (!settings.out.empty()) return settings.out;
  return fs::path(settings.question.first_file).stem().string() + "-to-" +
         fs::path(settings.question.second_file).stem().string() + ".h5";
}

}  // namespace

int run_explain_verb(const ExplainSettings& settings) {
  const std::string file = output_of(settings);
  ex::check_explained_name(file);
  ex::Question question = settings.question;
  question.answer = settings.answer == "worst"  ? ex::Answer::worst
                    : settings.answer == "heat" ? ex::Answer::heat
                                                : ex::Answer::held;
  question.threads = settings.jobs > 0 ? settings.jobs : omp_get_max_threads();
  const auto started = std::chrono::steady_clock::now();
  const auto explained = ex::explain(
      question, cases::read_material_folder(settings.materials.empty() ? shipped_materials()
                                                                       : settings.materials));
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - started;
  if (!explained.possible) {
    complain(impossible_text(explained));
    return not_solved;
  }
  ex::write_explained(file, explained);
  if (settings.json) {
    auto json = explain_report_json(explained);
    json["file"] = file;
    json["wall_clock_s"] = taken.count();
    print_answer(json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
  } else if (!settings.quiet) {
    print_answer(explain_report(explained) + fmt::format("\nWritten: {}\n", file));
  }
  return done;
}

}  // namespace thawline::program
