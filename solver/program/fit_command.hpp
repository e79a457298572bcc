#pragma once

#include "solver/program/overlay_command.hpp"

namespace thawline::program {

/// Adds the verb with its options to the command line.
CLI::App* add_fit_verb(CLI::App& app, TrialSettings& settings);

/// Runs the verb; gives the exit code. Throws InputError and WriteError, and std::runtime_error for
/// what cannot be solved.
int run_fit_verb(const TrialSettings& settings);

}  // namespace thawline::program
