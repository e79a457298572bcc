#include "solver/program/answer.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

#include "cases/input_error.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::program {

void fill_closed_streams() {
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
    if (fcntl(stream, F_GETFD) >= 0) continue;
    // Open takes the lowest free number, which is this one. Reading is all that is allowed of it.
    if (open("/dev/null", O_RDONLY) < 0) return;
  }
}

void print_answer(const std::string& text) {
  errno = 0;
  const bool whole = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (whole && std::fflush(stdout) == 0) return;
  throw solver::history::WriteError(
      fmt::format("standard output: cannot be written ({})", std::strerror(errno)));
}

void complain(const std::string& text) {
  const std::string line = cases::without_controls(text) + "\n";
  (void)std::fwrite(line.data(), 1, line.size(), stderr);
}

}  // namespace thawline::program
