#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace thawline::program {

struct TrialSettings {
  std::string trial_file;
  std::string out;        ///< HDF5 file; by the trial's name when empty
  std::string materials;  ///< folder; the shipped one when empty
  bool json = false, quiet = false;
  int jobs = 0;  ///< 0: one thread a core
};

/// Adds the verb with its options to the command line.
CLI::App* add_overlay_verb(CLI::App& app, TrialSettings& settings);

/// Runs the verb; gives the exit code. Throws InputError and WriteError.
int run_overlay_verb(const TrialSettings& settings);

/// What the verbs on trials take.
void add_trial_options(CLI::App* verb, TrialSettings& settings);

/// The file to write: as asked for, else the trial's name with `ending`.
[[nodiscard]] std::string trial_output(const TrialSettings& settings, const std::string& ending);

}  // namespace thawline::program
