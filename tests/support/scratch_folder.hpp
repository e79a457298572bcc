#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

namespace thawline::test {

/// A folder of this process, in memory where there is such a place; removed at the end.
class ScratchFolder {
 public:
  ScratchFolder() {
    namespace fs = std::filesystem;
    const fs::path base = fs::exists("/dev/shm") ? "/dev/shm" : fs::temp_directory_path();
    std::string name = (base / "thawline-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) std::abort();
    folder_ = name;
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  ScratchFolder(ScratchFolder&&) = delete;
  ScratchFolder& operator=(ScratchFolder&&) = delete;
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }

  [[nodiscard]] std::string path(const std::string& name) const {
    return (folder_ / name).string();
  }
  /// Returns the path of what it wrote.
  std::string write(const std::string& name, const std::string& text) const {
    std::filesystem::create_directories((folder_ / name).parent_path());
    std::ofstream(folder_ / name, std::ios::binary) << text;
    return path(name);
  }

 private:
  std::filesystem::path folder_;
};

}  // namespace thawline::test
