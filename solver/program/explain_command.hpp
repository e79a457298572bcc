#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "solver/explain/explain.hpp"

namespace thawline::program {

struct ExplainSettings {
  solver::explain::Question question;
  std::string answer = "held";
  std::string out;        ///< by default FIRST-to-SECOND.h5, here
  std::string materials;  ///< folder; the shipped one when empty
  int jobs = 0;           ///< 0: one a core
  bool json = false;
  bool quiet = false;
};

CLI::App* add_explain_verb(CLI::App& app, ExplainSettings& settings);

/// Returns the exit code. Throws InputError and WriteError.
int run_explain_verb(const ExplainSettings& settings);

}  // namespace thawline::program
