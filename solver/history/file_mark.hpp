#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "solver/history/file_kind.hpp"

/// Histories and tables are HDF5 files behind a user block of 512 bytes, the mark: two lines of
/// plain text that say what the file is and give the SHA-256 of all that follows. So a damaged file
/// is known before HDF5 tries to make sense of it.
namespace thawline::solver::history {

/// Bytes of the mark; HDF5 begins behind them.
inline constexpr std::size_t mark_bytes = 512;

struct Mark {
  std::optional<FileKind> kind;  ///< empty when there is no mark
  int version = 0;               ///< of the layout
  std::string sha256;            ///< of all bytes behind the mark; empty while unfinished
};

/// What a file says of itself; no kind when it cannot be read or is none of ours.
[[nodiscard]] Mark read_mark(const std::string& file);

/// Writes the mark of a file that is not whole yet. Throws std::system_error.
void write_unfinished_mark(int descriptor, FileKind kind, int version);

/// Writes the mark of a file that is whole, with the sum of its bytes. Throws std::system_error.
void write_mark(int descriptor, FileKind kind, int version);

/// Refuses a file that is not a whole `kind` of layout `version` with the very bytes it was written
/// with. Throws cases::InputError with one sentence; nothing of HDF5 is read.
void check_whole(const std::string& file, FileKind kind, int version);

}  // namespace thawline::solver::history
