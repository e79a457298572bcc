#pragma once

#include <stdexcept>
#include <string>

namespace thawline::solver::history {

/// A file that could not be written; `what()` names the file and says why.
class WriteError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// Gives a file that is whole its name. Throws WriteError.
void give_name(const std::string& temporary, const std::string& file);

}  // namespace thawline::solver::history
