#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <new>
#include <sstream>
#include <string>

#include "cases/input_error.hpp"
#include "cases/read_case.hpp"
#include "solver/history/case_in_history.hpp"
#include "solver/history/history_writer.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/written_file.hpp"
#include "solver/program/answer.hpp"
#include "solver/program/batch_command.hpp"
#include "solver/program/exit_code.hpp"
#include "solver/program/explain_command.hpp"
#include "solver/program/fit_command.hpp"
#include "solver/program/overlay_command.hpp"
#include "solver/program/progress.hpp"
#include "solver/program/record_command.hpp"
#include "solver/program/report.hpp"
#include "solver/program/shipped_materials.hpp"
#include "solver/results/freeze_coolants.hpp"

namespace {

using namespace thawline;

struct Settings {
  std::string case_file;
  std::string history_file;
  std::string materials;  ///< folder; the shipped one when empty
  bool json = false;
  bool quiet = false;
  bool no_history = false;
};

cases::MaterialShelf shelf_of(const Settings& settings) {
  return cases::read_material_folder(settings.materials.empty() ? program::shipped_materials()
                                                                : settings.materials);
}

/// From a case file, or from a history, which holds all its case needs.
cases::Case read_unsettled(const Settings& settings) {
  if (!solver::history::looks_like_history(settings.case_file)) {
    return cases::read_case(settings.case_file, shelf_of(settings));
  }
  if (!settings.materials.empty()) {
    throw cases::InputError(fmt::format(
        "--materials: the history '{}' has its own materials; leave this out", settings.case_file));
  }
  return solver::history::case_in_history(settings.case_file);
}

/// The same with what comes from freezers settled.
cases::Case read_case(const Settings& settings) {
  cases::Case c = read_unsettled(settings);
  solver::settle_starts(c);
  return c;
}

int check(const Settings& settings) {
  const cases::Case c = read_case(settings);
  program::print_answer(program::check_report(c, mesh::build_network(c)));
  return program::done;
}

int list_materials(const Settings& settings) {
  const auto shelf = shelf_of(settings);
  std::string text =
      fmt::format("{:22} {:>9} {:>9}  {}\n", "name", "melts", "to degC", "what it is");
  for (const auto& [name, material] : shelf) {
    if (material.melts()) {
      text += fmt::format("{:22} {:9.1f} {:9.1f}  {}\n", name, cases::solidus_of(material) - 273.15,
                          cases::liquidus_of(material) - 273.15, material.title);
    } else {
      text += fmt::format("{:22} {:>9} {:>9}  {}\n", name, "-", "-", material.title);
    }
  }
  program::print_answer(text);
  return program::done;
}

/// Named as the case, but that a history computed again leaves the first as it is.
std::string default_history(const std::string& case_file) {
  const std::string stem = std::filesystem::path(case_file).stem().string();
  return stem + (solver::history::looks_like_history(case_file) ? "-again.h5" : ".h5");
}

void check_output(const Settings& settings, const std::string& file, const cases::Case& c) {
  std::error_code error;
  if (std::filesystem::equivalent(settings.case_file, file, error)) {
    throw solver::history::WriteError(fmt::format(
        "{}: is what the case is read from and is left alone; name another file", file));
  }
  solver::history::check_history_name(file, c);
}

int run(const Settings& settings) {
  const cases::Case c = read_case(settings);
  const std::string file =
      settings.history_file.empty() ? default_history(settings.case_file) : settings.history_file;
  if (!settings.no_history) check_output(settings, file, c);
  const mesh::Network network = mesh::build_network(c);
  solver::RunResult result;
  const auto started = std::chrono::steady_clock::now();
  {
    program::Progress progress(c.run.duration, !settings.quiet);
    if (settings.no_history) {
      result = solver::run_network(c, network, {&progress});
    } else {
      solver::history::HistoryWriter writer(file, c, network);
      result = solver::run_network(c, network, {&progress, &writer});
      if (result.summary.completed) writer.finish(result);
    }
  }
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - started;
  if (!result.summary.completed) {
    program::complain(
        fmt::format("{}: {}; no history is left", settings.case_file, result.summary.stop_reason));
    return program::not_solved;
  }
  if (settings.json) {
    auto report = program::run_report_json(c, network, result);
    report["numerics"]["wall_clock_s"] = taken.count();
    program::print_answer(report.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) +
                          "\n");
  } else if (!settings.quiet) {
    std::string report = program::run_report(c, network, result);
    if (!settings.no_history) report += fmt::format("\nHistory: {}\n", file);
    program::print_answer(report);
  }
  return program::done;
}

/// Helps, or says what is wrong with the command line.
int answer_parse_error(const CLI::App& app, const CLI::ParseError& error, int argc, char** argv) {
  if (error.get_exit_code() != 0 && argc > 1 && argv[1][0] != '-' &&
      app.get_subcommands().empty()) {
    program::complain(
        fmt::format("'{}' is no verb; there are run, check, batch, find, merge, record, "
                    "overlay, fit, explain and materials (see --help)",
                    argv[1]));
    return program::bad_input;
  }
  std::ostringstream answer;
  std::ostringstream complaint;
  const int code = app.exit(error, answer, complaint);
  program::print_answer(answer.str());
  (void)std::fwrite(complaint.str().data(), 1, complaint.str().size(), stderr);
  return code == 0 ? program::done : program::bad_input;
}

int work(int argc, char** argv);

}  // namespace

int main(int argc, char** argv) {
  program::fill_closed_streams();
  // A file that may not grow is told like a full disk instead of ending the program.
  std::signal(SIGXFSZ, SIG_IGN);
  try {
    return work(argc, argv);
  } catch (const cases::InputError& error) {
    program::complain(error.what());
    return program::bad_input;
  } catch (const solver::history::WriteError& error) {
    program::complain(error.what());
    // Not through HDF5's own clean-up, which stumbles over files it cannot write, nor with another
    // try at standard output.
    std::fflush(stderr);
    std::_Exit(program::not_written);
  } catch (const std::bad_alloc&) {
    program::complain(
        fmt::format("{}: there is not enough memory for this", argc > 2 ? argv[2] : ""));
    return program::not_solved;
  } catch (const std::exception& error) {
    program::complain(fmt::format("{}: {}", argc > 2 ? argv[2] : "", error.what()));
    return program::not_solved;
  }
}

namespace {

int work(int argc, char** argv) {
  Settings settings;
  CLI::App app{"Thawline: how long does a packed insulated box stay cold, and why."};
  app.name("thawline");
  app.require_subcommand(1);
  app.set_version_flag("--version",
                       fmt::format("thawline {} ({})", solver::history::provenance().version,
                                   solver::history::provenance().commit));
  app.footer(
      "Exit codes: 0 done, 2 bad input, 3 could not solve, 4 could not write.\n"
      "Example: thawline run cases/examples/fishing-boat.yaml");

  const auto add_common = [&settings](CLI::App* verb) {
    verb->add_option("--materials", settings.materials, "Folder of material files")
        ->option_text("FOLDER");
  };
  auto* run_verb = app.add_subcommand("run", "Compute a case; print hold times, write a history");
  run_verb
      ->add_option("CASE", settings.case_file, "Case file (YAML), or a history to compute again")
      ->required();
  run_verb
      ->add_option("--history", settings.history_file,
                   "History file (HDF5); by default the case's name with .h5, here")
      ->option_text("FILE");
  run_verb->add_flag("--no-history", settings.no_history, "Write no history");
  run_verb->add_flag("--json", settings.json, "Print the answers as JSON");
  run_verb->add_flag("--quiet", settings.quiet, "No report and no progress bar");
  add_common(run_verb);
  run_verb->footer("Example: thawline run cases/examples/fishing-boat.yaml --history boat.h5");

  auto* check_verb =
      app.add_subcommand("check", "Read a case; print what was understood and a first estimate");
  check_verb
      ->add_option("CASE", settings.case_file, "Case file (YAML), or a history to compute again")
      ->required();
  add_common(check_verb);
  check_verb->footer("Example: thawline check cases/examples/market-stall.yaml");

  auto* materials_verb = app.add_subcommand("materials", "List the materials a case can name");
  add_common(materials_verb);
  materials_verb->footer("Example: thawline materials");

  program::BatchSettings batch_settings;
  auto* batch_verb = program::add_batch_verb(app, batch_settings);
  program::BatchSettings find_settings;
  find_settings.must_find = true;
  auto* find_verb = program::add_find_verb(app, find_settings);
  program::MergeSettings merge_settings;
  auto* merge_verb = program::add_merge_verb(app, merge_settings);
  program::RecordSettings record_settings;
  auto* record_verb = program::add_record_verb(app, record_settings);
  program::TrialSettings overlay_settings;
  auto* overlay_verb = program::add_overlay_verb(app, overlay_settings);
  program::TrialSettings fit_settings;
  auto* fit_verb = program::add_fit_verb(app, fit_settings);
  program::ExplainSettings explain_settings;
  auto* explain_verb = program::add_explain_verb(app, explain_settings);

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return answer_parse_error(app, error, argc, argv);
  }
  if (*check_verb) return check(settings);
  if (*materials_verb) return list_materials(settings);
  if (*batch_verb) return program::run_batch_verb(batch_settings);
  if (*find_verb) return program::run_find_verb(find_settings);
  if (*merge_verb) return program::run_merge_verb(merge_settings);
  if (*record_verb) return program::run_record_verb(record_settings);
  if (*overlay_verb) return program::run_overlay_verb(overlay_settings);
  if (*fit_verb) return program::run_fit_verb(fit_settings);
  if (*explain_verb) return program::run_explain_verb(explain_settings);
  return run(settings);
}

}  // namespace
