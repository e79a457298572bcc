#include "solver/program/fit_command.hpp"

#include <fmt/format.h>
#include <omp.h>

#include <chrono>
#include <filesystem>
#include <optional>

#include "cases/fit/read_trial.hpp"
#include "cases/input_error.hpp"
#include "solver/history/written_file.hpp"
#include "solver/program/answer.hpp"
#include "solver/program/exit_code.hpp"
#include "solver/program/fit_report.hpp"
#include "solver/program/overlay_report.hpp"
#include "solver/program/plan_report.hpp"
#include "solver/program/shipped_materials.hpp"
#include "solver/trial/write_trial.hpp"

namespace thawline::program {

namespace h = solver::history;

CLI::App* add_fit_verb(CLI::App& app, TrialSettings& settings) {
  auto* verb = app.add_subcommand("fit", "Learn values of a case from logged readings");
  add_trial_options(verb, settings);
  verb->add_option("--jobs", settings.jobs, "Cases computed at once; by default one a core")
      ->option_text("N")
      ->check(CLI::Range(1, 1024));
  verb->footer(
      "Writes the joint spread of what was learnt (HDF5), which tolerances of a plan draw from, "
      "and\n"
      "beside it the case with the fitted values (YAML). postprocess/overlay.py draws the HDF5.\n"
      "Exit codes: 0 done, 2 bad input, 3 no case within the bounds could be computed, 4 could "
      "not\n"
      "write.\n"
      "Example: thawline fit cases/examples/trials/two-boxes.yaml");
  return verb;
}

namespace {

/// The case of the trial with what all records share put in.
std::string fitted_case(const cases::ReadTrial& read, const solver::trial::Fitted& fitted) {
  const cases::BaseCase base = cases::base_case(read.shared.plan);
  const cases::Case c = base.read_with(fitted.shared_settings, read.shared.library, true);
  std::string head = fmt::format("{} to {}\n", h::fitted_case_head, read.trial.file);
  for (const auto& value : fitted.values) {
    if (value.shared) head += fmt::format("#   {}\n", value_line(value));
  }
  return cases::without_controls(head) + c.text;
}

std::string case_name(const std::string& file) {
  const std::filesystem::path name(file);
  return (name.parent_path() / (name.stem().string() + "-case.yaml")).string();
}

}  // namespace

int run_fit_verb(const TrialSettings& settings) {
  if (settings.jobs > 0) omp_set_num_threads(settings.jobs);
  const std::string file = trial_output(settings, "-fit.h5");
  if (std::filesystem::path(file).extension() == ".yaml") {
    throw cases::InputError(fmt::format("--out: '{}' is no name for an HDF5 file", file));
  }
  solver::trial::check_trial_name(file);
  h::refuse_foreign(case_name(file), h::FileKind::fitted_case);
  const auto started = std::chrono::steady_clock::now();
  const auto read = cases::read_trial(
      settings.trial_file, settings.materials.empty() ? shipped_materials() : settings.materials);
  if (!read.trial.fit) {
    throw cases::InputError(
        fmt::format("{}: has no 'fit'; 'thawline overlay' compares it", settings.trial_file));
  }
  const auto fitted = solver::trial::fit_trial(read);
  const auto overlays = solver::trial::overlay(read, fitted.settings, fitted.late);
  std::optional<solver::trial::Verdict> verdict;
  if (read.trial.verdict) verdict = solver::trial::verdict_of(read, overlays, &fitted);
  const std::string text = fitted_case(read, fitted);
  solver::trial::write_trial(file, read, overlays, &fitted);
  h::write_text_file(case_name(file), h::FileKind::fitted_case, text);
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - started;
  if (settings.json) {
    auto json = fit_report_json(read.trial, fitted, verdict);
    json.update(overlay_report_json(read.trial, overlays));
    json["detail"] = plan_detail_json(read.shared);
    json["file"] = file;
    json["fitted_case"] = case_name(file);
    json["wall_clock_s"] = taken.count();
    print_answer(json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
  } else if (!settings.quiet) {
    print_answer(read.trial.title + "\n" + plan_detail_line(read.shared) +
                 fit_report(read.trial, fitted, verdict) + overlay_report(read.trial, overlays) +
                 fmt::format("\nFit: {}\nCase: {}\n", file, case_name(file)));
  }
  return done;
}

}  // namespace thawline::program
