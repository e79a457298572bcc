#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

// Runs a fuzz target over files, with any compiler. Usage: TARGET FILE_OR_FOLDER...

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

namespace fs = std::filesystem;

void run(const fs::path& file) {
  std::ifstream stream(file, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(stream), {}};
  std::printf("%s: %zu bytes\n", file.c_str(), bytes.size());
  std::fflush(stdout);  // so that a crash is told with its file
  LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
}

}  // namespace

int main(int count, char** arguments) {
  int files = 0;
  for (int i = 1; i < count; ++i) {
    if (fs::is_regular_file(arguments[i])) {
      run(arguments[i]);
      ++files;
      continue;
    }
    for (const auto& entry : fs::directory_iterator(arguments[i])) {
      run(entry.path());
      ++files;
    }
  }
  std::printf("%d files\n", files);
  return files > 0 ? 0 : 1;
}
