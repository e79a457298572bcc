#include "solver/history/written_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <system_error>

#include "solver/history/file_mark.hpp"

namespace thawline::solver::history {

namespace {

/// Takes the lock of an open file that other runs respect; false when one has it. HDF5's own
/// locks are of another sort, so that readers of HDF5 are not kept out.
bool lock(int descriptor) {
  struct flock whole {};
  whole.l_type = F_WRLCK;
  whole.l_whence = SEEK_SET;
  if (fcntl(descriptor, F_OFD_SETLK, &whole) == 0) return true;
  return errno != EAGAIN && errno != EACCES;  // a file system without locks is no hindrance
}

bool has_name(int descriptor, const std::string& name) {
  struct stat held {};
  struct stat named {};
  return fstat(descriptor, &held) == 0 && lstat(name.c_str(), &named) == 0 &&
         held.st_ino == named.st_ino && held.st_dev == named.st_dev;
}

WriteError busy(const std::string& file) {
  return WriteError(fmt::format("{}: another run is at work on it", file));
}

}  // namespace

NewFile::NewFile(const std::string& file, FileKind kind) : file_(file), path_(file + ".new") {
  refuse_foreign(file_, kind);
  open_locked();
  try {
    refuse_foreign_beginning(file_, kind);
    there_ = true;
    if (ftruncate(descriptor_, 0) != 0) {
      throw WriteError(fmt::format("{}: cannot be written ({})", file_, std::strerror(errno)));
    }
  } catch (...) {
    if (there_) unlink(path_.c_str());
    close(descriptor_);
    throw;
  }
}

NewFile::~NewFile() {
  if (there_ && path_ != file_) remove();
  close(descriptor_);
}

/// The lock goes with the file, so it counts only while the file still has this name.
void NewFile::open_locked() {
  while (true) {
    descriptor_ = open(path_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK, 0666);
    if (descriptor_ < 0) {
      const int reason = errno;
      refuse_special(path_);
      throw WriteError(fmt::format("{}: cannot be written ({})", file_, std::strerror(reason)));
    }
    struct stat status {};
    const bool is_file = fstat(descriptor_, &status) == 0 && S_ISREG(status.st_mode);
    const bool locked = is_file && lock(descriptor_);
    if (locked && has_name(descriptor_, path_)) return;
    close(descriptor_);
    if (!is_file) refuse_special(path_);
    if (!locked) throw busy(file_);
  }
}

void NewFile::give_name() {
  if (std::rename(path_.c_str(), file_.c_str()) != 0) {
    throw WriteError(fmt::format("{}: cannot be given its name ({})", file_, std::strerror(errno)));
  }
  path_ = file_;
}

void NewFile::remove() {
  if (there_ && has_name(descriptor_, path_)) unlink(path_.c_str());
  there_ = false;
}

bool is_held(const std::string& file) {
  const int descriptor = open(file.c_str(), O_RDWR | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
  if (descriptor < 0) return false;
  const bool held = !lock(descriptor);
  close(descriptor);
  return held;
}

/// A killed run leaves a beginning of the file, perhaps an empty one or, of HDF5, one whose mark
/// was not written yet.
void refuse_foreign_beginning(const std::string& file, FileKind kind) {
  const std::string name = file + ".new";
  refuse_special(name);
  std::ifstream stream(name, std::ios::binary);
  std::string head(mark_bytes, '\0');
  stream.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(stream.gcount()));
  if (head.find_first_not_of('\0') == std::string::npos) return;
  if (kind == FileKind::csv ? head.starts_with(csv_first) : is_ours(name, kind)) return;
  throw WriteError(fmt::format(
      "{}: is there and was not left by this program; it is left alone, move it away", name));
}

void write_at(int descriptor, const void* bytes, std::size_t size, std::uint64_t offset) {
  const auto* from = static_cast<const char*>(bytes);
  for (std::size_t written = 0; written < size;) {
    const ssize_t more =
        pwrite(descriptor, from + written, size - written, static_cast<off_t>(offset + written));
    if (more < 0 && errno == EINTR) continue;
    if (more <= 0) throw std::system_error(more < 0 ? errno : ENOSPC, std::generic_category());
    written += static_cast<std::size_t>(more);
  }
}

void read_at(int descriptor, void* bytes, std::size_t size, std::uint64_t offset) {
  auto* to = static_cast<char*>(bytes);
  for (std::size_t got = 0; got < size;) {
    const ssize_t more = pread(descriptor, to + got, size - got, static_cast<off_t>(offset + got));
    if (more < 0 && errno == EINTR) continue;
    if (more <= 0) throw std::system_error(more < 0 ? errno : EIO, std::generic_category());
    got += static_cast<std::size_t>(more);
  }
}

void write_text_file(const std::string& file, FileKind kind, const std::string& text) {
  NewFile out(file, kind);
  try {
    write_at(out.descriptor(), text.data(), text.size(), 0);
  } catch (const std::system_error& error) {
    throw WriteError(fmt::format("{}: cannot be written ({})", file, error.code().message()));
  }
  out.give_name();
}

}  // namespace thawline::solver::history
