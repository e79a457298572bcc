#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace thawline::program {

struct RecordSettings {
  std::string file, dates, hour_jumps;
  bool json = false;
};

/// Adds the verb with its options to the command line.
CLI::App* add_record_verb(CLI::App& app, RecordSettings& settings);

/// Reads a logger's record and prints what was understood; gives the exit code. Throws InputError
/// and WriteError.
int run_record_verb(const RecordSettings& settings);

}  // namespace thawline::program
