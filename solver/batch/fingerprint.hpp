#pragma once

#include <string>
#include <vector>

#include "cases/plan.hpp"

namespace thawline::solver::batch {

/// One thing the results hang on, and the SHA-256 of it.
struct Mark {
  std::string of;  ///< "plan", "base case", "materials", "traces", "program"
  std::string sha256;
};

/// Everything the results of a plan hang on.
using Fingerprint = std::vector<Mark>;

[[nodiscard]] Fingerprint fingerprint(const cases::Plan& plan, const std::string& material_folder);

/// One line a mark, and back.
[[nodiscard]] std::string to_text(const Fingerprint& fingerprint);
[[nodiscard]] Fingerprint from_text(const std::string& text);

/// What differs between two, as "the plan and the materials"; empty when nothing does.
[[nodiscard]] std::string difference(const Fingerprint& a, const Fingerprint& b);

}  // namespace thawline::solver::batch
