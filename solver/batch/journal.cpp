#include "solver/batch/journal.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <boost/crc.hpp>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstring>
#include <utility>

#include "cases/input_error.hpp"
#include "solver/history/file_kind.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::batch {

using cases::InputError;
using history::WriteError;

namespace {

const std::string magic = std::string(history::journal_head) + "2\n";
constexpr std::uint32_t most_record = 1U << 20U;
/// Length before a record and its CRC after it.
constexpr std::uint64_t frame = 2 * sizeof(std::uint32_t);

std::uint32_t crc_of(const std::string& bytes) {
  boost::crc_32_type crc;
  crc.process_bytes(bytes.data(), bytes.size());
  return crc.checksum();
}

template <typename Value>
void put(std::string& bytes, Value value) {
  bytes.append(reinterpret_cast<const char*>(&value), sizeof value);
}

template <typename Value>
Value get(const std::string& bytes, std::size_t at) {
  Value value{};
  std::memcpy(&value, bytes.data() + at, sizeof value);
  return value;
}

/// Fewer bytes than asked for when the file ends before.
std::string read_bytes(int descriptor, std::uint64_t offset, std::size_t count) {
  std::string bytes(count, '\0');
  std::size_t got = 0;
  while (got < count) {
    const auto more =
        pread(descriptor, bytes.data() + got, count - got, static_cast<off_t>(offset + got));
    if (more < 0 && errno == EINTR) continue;
    if (more <= 0) break;
    got += static_cast<std::size_t>(more);
  }
  bytes.resize(got);
  return bytes;
}

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

std::string header_text(const Fingerprint& fingerprint, const std::string& part) {
  return to_text(fingerprint) + "part: " + part + "\n";
}

}  // namespace

Journal::Journal(std::string file, const Fingerprint& fingerprint, const std::string& part,
                 std::uint64_t cases, std::vector<Column> columns, bool afresh)
    : file_(std::move(file)), offset_(cases, 0), columns_(std::move(columns)) {
  open_locked();
  try {
    refuse_foreign_header();
    if (afresh && ftruncate(descriptor_, 0) != 0) {
      throw WriteError(fmt::format("{}: cannot be started over ({})", file_, std::strerror(errno)));
    }
    read_header(fingerprint, part);
    scan();
  } catch (...) {
    close(descriptor_);
    throw;
  }
}

Journal::~Journal() { close(descriptor_); }

/// The lock goes with the file, so it counts only while the file still has this name.
void Journal::open_locked() {
  while (true) {
    history::refuse_special(file_);
    descriptor_ = open(file_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK, 0666);
    if (descriptor_ < 0) {
      throw WriteError(fmt::format("{}: cannot be written ({})", file_, std::strerror(errno)));
    }
    if (flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
      const int reason = errno;
      close(descriptor_);
      if (reason == EWOULDBLOCK) {
        throw InputError(fmt::format("{}: another run of this plan is at work on it", file_));
      }
      throw WriteError(fmt::format("{}: cannot be locked ({})", file_, std::strerror(reason)));
    }
    struct stat held {};
    struct stat named {};
    if (fstat(descriptor_, &held) == 0 && stat(file_.c_str(), &named) == 0 &&
        held.st_ino == named.st_ino && held.st_dev == named.st_dev) {
      return;
    }
    close(descriptor_);
  }
}

/// What was left by a killed run may be a beginning of the head.
void Journal::refuse_foreign_header() const {
  const std::string head = read_bytes(descriptor_, 0, history::journal_head.size());
  if (head == history::journal_head.substr(0, head.size())) return;
  throw WriteError(
      fmt::format("{}: is no journal of a batch and is left alone; move it away", file_));
}

void Journal::read_header(const Fingerprint& fingerprint, const std::string& part) {
  const std::string head = read_bytes(descriptor_, 0, magic.size());
  if (head != magic.substr(0, head.size())) {
    throw InputError(fmt::format(
        "{}: is a journal of another layout; nothing was touched, '--afresh' starts over", file_));
  }
  end_ = magic.size();
  const std::string record = head == magic ? read_record(end_) : "";
  if (record.empty()) {
    write_header(fingerprint, part);
    return;
  }
  end_ += frame + record.size();
  const std::string changed =
      difference(from_text(header_text(fingerprint, part)), from_text(record));
  if (!changed.empty()) {
    throw InputError(
        fmt::format("{}: was begun with other inputs ({} changed since); nothing was touched, "
                    "'--afresh' starts over",
                    file_, changed));
  }
}

void Journal::write_header(const Fingerprint& fingerprint, const std::string& part) {
  end_ = 0;
  if (ftruncate(descriptor_, 0) != 0) {
    throw WriteError(fmt::format("{}: cannot be written ({})", file_, std::strerror(errno)));
  }
  const std::string text = header_text(fingerprint, part);
  std::string bytes = magic;
  put(bytes, static_cast<std::uint32_t>(text.size()));
  bytes += text;
  put(bytes, crc_of(text));
  write_record(bytes);
}

std::string Journal::read_record(std::uint64_t offset) const {
  const std::string length = read_bytes(descriptor_, offset, sizeof(std::uint32_t));
  if (length.size() < sizeof(std::uint32_t)) return {};
  const auto size = get<std::uint32_t>(length, 0);
  if (size == 0 || size > most_record) return {};
  const std::string bytes =
      read_bytes(descriptor_, offset + sizeof(std::uint32_t), size + sizeof(std::uint32_t));
  if (bytes.size() < size + sizeof(std::uint32_t)) return {};
  std::string record = bytes.substr(0, size);
  if (crc_of(record) != get<std::uint32_t>(bytes, size)) return {};
  return record;
}

void Journal::scan() {
  while (true) {
    const std::string record = read_record(end_);
    if (record.empty()) break;
    const Answers answers = unpacked(record);
    offset_[get<std::uint64_t>(record, 0) - 1] = end_;
    longest_reason_ = std::max(longest_reason_, answers.reason.size());
    end_ += frame + record.size();
  }
  if (ftruncate(descriptor_, static_cast<off_t>(end_)) != 0) {
    throw WriteError(fmt::format("{}: cannot be written ({})", file_, std::strerror(errno)));
  }
}

void Journal::write_record(const std::string& record) {
  std::size_t written = 0;
  while (written < record.size()) {
    const auto more = pwrite(descriptor_, record.data() + written, record.size() - written,
                             static_cast<off_t>(end_ + written));
    if (more < 0 && errno == EINTR) continue;
    if (more <= 0) {
      const std::string why = std::strerror(more < 0 ? errno : ENOSPC);
      (void)!ftruncate(descriptor_, static_cast<off_t>(end_));
      throw WriteError(fmt::format(
          "{}: cannot grow ({}); what was computed is kept, make room and run this again", file_,
          why));
    }
    written += static_cast<std::size_t>(more);
  }
  end_ += record.size();
  if (now() - synced_ < 1) return;
  fdatasync(descriptor_);
  synced_ = now();
}

void Journal::append(std::uint64_t number, const Answers& answers) {
  std::string record;
  put(record, number);
  put(record, static_cast<std::uint64_t>(answers.numbers.size()));
  for (const double value : answers.numbers) put(record, value);
  record += answers.reason;
  std::string bytes;
  put(bytes, static_cast<std::uint32_t>(record.size()));
  bytes += record;
  put(bytes, crc_of(record));
  const std::lock_guard lock(one_at_a_time_);
  const std::uint64_t offset = end_;
  write_record(bytes);
  offset_[number - 1] = offset;
  longest_reason_ = std::max(longest_reason_, answers.reason.size());
}

namespace {

/// True for a value that stands in such a column.
bool suits(const Column& column, double value) {
  if (!std::isfinite(value)) return false;
  if (value == blank || column.kind == Kind::number) return true;
  if (value != std::floor(value) || value < 0 || value > 1e15) return false;
  return column.kind != Kind::word || value < static_cast<double>(column.words.size());
}

}  // namespace

/// A record whose checksum is right may still be none that a run of this plan wrote.
Answers Journal::unpacked(const std::string& record) const {
  constexpr std::size_t start = 2 * sizeof(std::uint64_t);
  const auto strange = [this] {
    return InputError(fmt::format(
        "{}: holds a record that no run of this plan wrote; nothing was touched, '--afresh' starts "
        "over",
        file_));
  };
  const std::size_t count = columns_.size() - 1;
  if (record.size() < start + count * sizeof(double)) throw strange();
  const auto number = get<std::uint64_t>(record, 0);
  if (number < 1 || number > offset_.size()) throw strange();
  if (get<std::uint64_t>(record, sizeof(std::uint64_t)) != count) throw strange();
  Answers answers;
  for (std::size_t i = 0; i < count; ++i) {
    answers.numbers.push_back(get<double>(record, start + i * sizeof(double)));
    if (!suits(columns_[i], answers.numbers.back())) throw strange();
  }
  answers.reason = record.substr(start + count * sizeof(double));
  if (answers.reason.find('\0') != std::string::npos) throw strange();
  return answers;
}

Answers Journal::read(std::uint64_t number) const {
  const std::string record = read_record(offset_[number - 1]);
  if (record.empty()) throw WriteError(fmt::format("{}: cannot be read back", file_));
  return unpacked(record);
}

void Journal::remove() { unlink(file_.c_str()); }

}  // namespace thawline::solver::batch
