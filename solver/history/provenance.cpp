#include "solver/history/provenance.hpp"

#include <H5public.h>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <openssl/evp.h>

#include <Eigen/Core>
#include <array>
#include <ctime>

#include "thawline_build.hpp"

namespace thawline::solver::history {

Provenance provenance() {
  return {
      "thawline", build_version, build_commit, build_type,
      fmt::format("HDF5 {}.{}.{}, Eigen {}.{}.{}", H5_VERS_MAJOR, H5_VERS_MINOR, H5_VERS_RELEASE,
                  EIGEN_WORLD_VERSION, EIGEN_MAJOR_VERSION, EIGEN_MINOR_VERSION)};
}

std::string utc_now() {
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::time(nullptr)));
}

std::string sha256(const std::string& text) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int size = 0;
  EVP_Digest(text.data(), text.size(), digest.data(), &size, EVP_sha256(), nullptr);
  std::string hex;
  for (unsigned int i = 0; i < size; ++i) hex += fmt::format("{:02x}", digest[i]);
  return hex;
}

}  // namespace thawline::solver::history
