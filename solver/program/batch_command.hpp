#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace thawline::program {

struct BatchSettings {
  std::string plan_file, table;
  std::string materials;  ///< folder; the shipped one when empty
  std::string part = "1/1";
  int jobs = 0;  ///< 0: one thread a core
  bool afresh = false, json = false, quiet = false;
  bool must_find = false;  ///< refuse a plan that seeks nothing
};

struct MergeSettings {
  std::vector<std::string> files;
  std::string to;
  bool quiet = false;
};

/// Adds the verb with its options to the command line.
CLI::App* add_batch_verb(CLI::App& app, BatchSettings& settings);
CLI::App* add_find_verb(CLI::App& app, BatchSettings& settings);
CLI::App* add_merge_verb(CLI::App& app, MergeSettings& settings);

/// Run the verbs; give the exit code. Throw InputError and WriteError.
int run_batch_verb(const BatchSettings& settings);
int run_find_verb(const BatchSettings& settings);
int run_merge_verb(const MergeSettings& settings);

}  // namespace thawline::program
