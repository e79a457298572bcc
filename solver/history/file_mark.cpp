#include "solver/history/file_mark.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <openssl/evp.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <memory>
#include <system_error>
#include <vector>

#include "cases/input_error.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::history {

namespace {

using cases::InputError;

constexpr const char* history_words = "Thawline history ";
constexpr const char* table_words = "Thawline table ";
constexpr const char* trial_words = "Thawline trial ";
constexpr const char* explained_words = "Thawline explained ";
constexpr const char* sum_words = "sha256 of the bytes after these 512: ";
constexpr std::size_t sum_digits = 64;

const char* first_words(FileKind kind) {
  if (kind == FileKind::trial) return trial_words;
  if (kind == FileKind::explained) return explained_words;
  return kind == FileKind::history ? history_words : table_words;
}

/// The SHA-256 of all bytes behind the mark as hexadecimal digits; empty when they cannot be read.
std::string sum_of(int descriptor) {
  const std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context(EVP_MD_CTX_new(),
                                                                        &EVP_MD_CTX_free);
  EVP_DigestInit_ex(context.get(), EVP_sha256(), nullptr);
  std::vector<unsigned char> block(1U << 18U);
  off_t at = mark_bytes;
  while (true) {
    const ssize_t got = pread(descriptor, block.data(), block.size(), at);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return {};
    if (got == 0) break;
    EVP_DigestUpdate(context.get(), block.data(), static_cast<std::size_t>(got));
    at += got;
  }
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int size = 0;
  EVP_DigestFinal_ex(context.get(), digest.data(), &size);
  std::string hex;
  for (unsigned int i = 0; i < size; ++i) hex += fmt::format("{:02x}", digest[i]);
  return hex;
}

void put_mark(int descriptor, FileKind kind, int version, const std::string& second_line) {
  std::string text = fmt::format("{}{}\n{}\n", first_words(kind), version, second_line);
  text.resize(mark_bytes, '\n');
  write_at(descriptor, text.data(), text.size(), 0);
}

Mark mark_in(const std::string& text) {
  Mark mark;
  for (const FileKind kind :
       {FileKind::history, FileKind::table, FileKind::trial, FileKind::explained}) {
    if (text.starts_with(first_words(kind))) mark.kind = kind;
  }
  if (!mark.kind) return mark;
  const std::size_t begin = std::strlen(first_words(*mark.kind));
  const std::size_t end = text.find('\n');
  if (end == std::string::npos) return mark;
  for (std::size_t i = begin; i < end && i < begin + 6; ++i) {
    if (text[i] < '0' || text[i] > '9') break;
    mark.version = 10 * mark.version + (text[i] - '0');
  }
  const std::string line = text.substr(end + 1, text.find('\n', end + 1) - end - 1);
  if (line.starts_with(sum_words)) mark.sha256 = line.substr(std::strlen(sum_words));
  return mark;
}

/// A file open for reading while this lives.
class OpenFile {
 public:
  explicit OpenFile(const std::string& file)
      : descriptor_(open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)) {}
  ~OpenFile() {
    if (descriptor_ >= 0) close(descriptor_);
  }
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  OpenFile(OpenFile&&) = delete;
  OpenFile& operator=(OpenFile&&) = delete;
  [[nodiscard]] int descriptor() const { return descriptor_; }

 private:
  int descriptor_;
};

Mark mark_of(int descriptor) {
  std::string text(mark_bytes, '\0');
  const ssize_t got = pread(descriptor, text.data(), text.size(), 0);
  text.resize(got < 0 ? 0 : static_cast<std::size_t>(got));
  return mark_in(text);
}

}  // namespace

Mark read_mark(const std::string& file) {
  const OpenFile open_file(file);
  return open_file.descriptor() < 0 ? Mark{} : mark_of(open_file.descriptor());
}

void write_unfinished_mark(int descriptor, FileKind kind, int version) {
  put_mark(descriptor, kind, version, "unfinished");
}

void write_mark(int descriptor, FileKind kind, int version) {
  const std::string sum = sum_of(descriptor);
  if (sum.size() != sum_digits) throw std::system_error(EIO, std::generic_category());
  put_mark(descriptor, kind, version, sum_words + sum);
}

void check_whole(const std::string& file, FileKind kind, int version) {
  const char* what = kind == FileKind::history ? "history"
                     : kind == FileKind::trial ? "fit or overlay of a trial"
                                               : "table of a batch";
  std::error_code error;
  const auto status = std::filesystem::status(file, error);
  if (!std::filesystem::exists(status)) {
    throw InputError(fmt::format("{}: there is no such file", file));
  }
  if (!std::filesystem::is_regular_file(status)) {
    throw InputError(fmt::format("{}: is no file with a {} in it", file, what));
  }
  const OpenFile open_file(file);
  if (open_file.descriptor() < 0) {
    throw InputError(fmt::format("{}: cannot be read ({})", file, std::strerror(errno)));
  }
  const Mark mark = mark_of(open_file.descriptor());
  if (mark.kind != kind) {
    throw InputError(fmt::format("{}: is no whole {} of this layout", file, what));
  }
  if (mark.version != version) {
    throw InputError(fmt::format("{}: is a {} of layout {}; this program reads layout {}", file,
                                 what, mark.version, version));
  }
  if (mark.sha256.empty()) {
    throw InputError(fmt::format("{}: is a {} that was not finished", file, what));
  }
  if (mark.sha256 != sum_of(open_file.descriptor())) {
    throw InputError(
        fmt::format("{}: is damaged or was changed; its bytes are not those that were written, as "
                    "its checksum tells",
                    file));
  }
}

}  // namespace thawline::solver::history
