#pragma once

namespace thawline::program {

/// What the program's exit code says.
enum ExitCode : int {
  done = 0,
  bad_input = 2,
  not_solved = 3,
  not_written = 4,
};

}  // namespace thawline::program
