#pragma once

#include <string>

namespace thawline::program {

/// Puts /dev/null in the place of standard streams that are closed, so that no file the program
/// opens takes their number; writing to such a one fails. To be called first.
void fill_closed_streams();

/// Prints on standard output and brings it out at once. Throws WriteError when it cannot be
/// written in full.
void print_answer(const std::string& text);

/// Prints one complaint on standard error, without the control characters a file name may hold.
void complain(const std::string& text);

}  // namespace thawline::program
