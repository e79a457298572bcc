#include "solver/history/file_kind.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>

#include "solver/history/file_mark.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::history {

namespace {

namespace fs = std::filesystem;

const char* words_of(FileKind kind) {
  switch (kind) {
    case FileKind::history:
      return "history";
    case FileKind::table:
      return "table";
    case FileKind::csv:
      return "CSV of a table";
    case FileKind::xdmf:
      return "XDMF";
    case FileKind::trial:
      return "trial";
    case FileKind::fitted_case:
      return "fitted case";
    case FileKind::explained:
      return "explanation";
    case FileKind::journal:
      break;
  }
  return "journal of a batch";
}

const char* words_of(fs::file_type type) {
  switch (type) {
    case fs::file_type::directory:
      return "a folder";
    case fs::file_type::symlink:
      return "a symbolic link";
    case fs::file_type::fifo:
      return "a pipe";
    case fs::file_type::block:
    case fs::file_type::character:
      return "a device";
    case fs::file_type::socket:
      return "a socket";
    default:
      return "no plain file";
  }
}

std::string beginning_of(const std::string& file, std::size_t most) {
  std::ifstream stream(file, std::ios::binary);
  std::string text(most, '\0');
  stream.read(text.data(), static_cast<std::streamsize>(most));
  text.resize(static_cast<std::size_t>(stream.gcount()));
  return text;
}

bool is_csv(const std::string& file) {
  constexpr std::size_t longest_heading = 16U << 20U;
  if (beginning_of(file, csv_first.size()) != csv_first) return false;
  const std::string text = beginning_of(file, longest_heading);
  return text.substr(0, text.find('\n')).ends_with(csv_last);
}

}  // namespace

bool is_ours(const std::string& file, FileKind kind) {
  switch (kind) {
    case FileKind::history:
    case FileKind::table:
    case FileKind::trial:
    case FileKind::explained:
      return read_mark(file).kind == kind;
    case FileKind::csv:
      return is_csv(file);
    case FileKind::xdmf:
      return beginning_of(file, xdmf_head.size()) == xdmf_head;
    case FileKind::fitted_case:
      return beginning_of(file, fitted_case_head.size()) == fitted_case_head;
    case FileKind::journal:
      break;
  }
  return beginning_of(file, journal_head.size()) == journal_head;
}

void refuse_special(const std::string& file) {
  std::error_code error;
  const fs::file_type type = fs::symlink_status(file, error).type();
  if (type == fs::file_type::not_found || type == fs::file_type::regular) return;
  if (type == fs::file_type::none) {
    throw WriteError(fmt::format("{}: cannot be written ({})", file, error.message()));
  }
  throw WriteError(
      fmt::format("{}: is {} and is left alone; name another file", file, words_of(type)));
}

void refuse_foreign(const std::string& file, FileKind kind) {
  refuse_special(file);
  std::error_code error;
  if (fs::is_regular_file(file, error) && !is_ours(file, kind)) {
    throw WriteError(
        fmt::format("{}: is there and is no {} of this program's layout; it is left alone, move it "
                    "away or name another file",
                    file, words_of(kind)));
  }
}

}  // namespace thawline::solver::history
