#pragma once

#include <string>

namespace thawline::solver::history {

/// What program, build and libraries wrote a file.
struct Provenance {
  std::string program = "thawline";
  std::string version, commit, build, libraries;
};

/// Of this build of the library.
[[nodiscard]] Provenance provenance();

/// The present instant in UTC, ISO 8601 to the second.
[[nodiscard]] std::string utc_now();

/// SHA-256 of a text as hexadecimal digits (OpenSSL).
[[nodiscard]] std::string sha256(const std::string& text);

}  // namespace thawline::solver::history
