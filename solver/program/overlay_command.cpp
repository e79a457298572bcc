#include "solver/program/overlay_command.hpp"

#include <filesystem>

#include "cases/fit/read_trial.hpp"
#include "solver/program/answer.hpp"
#include "solver/program/exit_code.hpp"
#include "solver/program/overlay_report.hpp"
#include "solver/program/plan_report.hpp"
#include "solver/program/shipped_materials.hpp"
#include "solver/trial/write_trial.hpp"

namespace thawline::program {

void add_trial_options(CLI::App* verb, TrialSettings& settings) {
  verb->add_option("TRIAL", settings.trial_file, "Trial file (YAML): a case and its records")
      ->required();
  verb->add_option("--out", settings.out, "File to write (HDF5); by default as the trial, here")
      ->option_text("FILE");
  verb->add_flag("--json", settings.json, "Print the answers as JSON");
  verb->add_flag("--quiet", settings.quiet, "Print nothing");
  verb->add_option("--materials", settings.materials, "Folder of material files")
      ->option_text("FOLDER");
}

std::string trial_output(const TrialSettings& settings, const std::string& ending) {
  if (!settings.out.empty()) return settings.out;
  return std::filesystem::path(settings.trial_file).stem().string() + ending;
}

CLI::App* add_overlay_verb(CLI::App& app, TrialSettings& settings) {
  auto* verb = app.add_subcommand("overlay", "Lay logged readings over the computed curves");
  add_trial_options(verb, settings);
  verb->footer(
      "postprocess/overlay.py TRIAL does the same and draws the picture.\n"
      "Example: thawline overlay cases/examples/trials/two-boxes.yaml");
  return verb;
}

int run_overlay_verb(const TrialSettings& settings) {
  const std::string file = trial_output(settings, "-overlay.h5");
  solver::trial::check_trial_name(file);
  const auto read = cases::read_trial(
      settings.trial_file, settings.materials.empty() ? shipped_materials() : settings.materials);
  const auto overlays = solver::trial::overlay(read);
  solver::trial::write_trial(file, read, overlays, nullptr);
  if (settings.json) {
    auto json = overlay_report_json(read.trial, overlays);
    json["detail"] = plan_detail_json(read.shared);
    json["file"] = file;
    print_answer(json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
  } else if (!settings.quiet) {
    print_answer(read.trial.title + "\n" + plan_detail_line(read.shared) +
                 overlay_report(read.trial, overlays) + "\nOverlay: " + file + "\n");
  }
  return done;
}

}  // namespace thawline::program
