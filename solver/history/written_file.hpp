#pragma once

#include <cstddef>
#include <cstdint>
#include <stdexcept>
#include <string>

#include "solver/history/file_kind.hpp"

namespace thawline::solver::history {

/// A file that could not be written; `what()` names the file and says why.
class WriteError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// A file while it is written: under its name with `.new`, locked against another run, and renamed
/// when whole. What a killed run left under that name is emptied and used again.
class NewFile {
 public:
  /// Throws WriteError when `file` or `file`.new may not be written to, or another run is at it.
  NewFile(const std::string& file, FileKind kind);
  /// Removes it unless it was given its name.
  ~NewFile();
  NewFile(const NewFile&) = delete;
  NewFile& operator=(const NewFile&) = delete;
  NewFile(NewFile&&) = delete;
  NewFile& operator=(NewFile&&) = delete;

  /// Its present name.
  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] int descriptor() const { return descriptor_; }
  /// Renames it to `file`. It stays open and locked. Throws WriteError.
  void give_name();
  /// Removes it under whichever name it has.
  void remove();

 private:
  void open_locked();

  std::string file_, path_;
  int descriptor_ = -1;
  bool there_ = false;
};

/// Refuses what stands under the temporary name of `file` unless a killed run may have left it
/// there. Throws WriteError.
void refuse_foreign_beginning(const std::string& file, FileKind kind);

/// Writes `size` bytes at `offset` of an open file. Throws std::system_error.
void write_at(int descriptor, const void* bytes, std::size_t size, std::uint64_t offset);

/// Reads as many. Throws std::system_error, also when the file ends before.
void read_at(int descriptor, void* bytes, std::size_t size, std::uint64_t offset);

/// True when a run that is alive holds the file.
[[nodiscard]] bool is_held(const std::string& file);

/// Writes a whole text file. Throws WriteError.
void write_text_file(const std::string& file, FileKind kind, const std::string& text);

}  // namespace thawline::solver::history
