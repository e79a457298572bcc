#pragma once

#include <cstdint>
#include <mutex>
#include <string>
#include <vector>

#include "solver/batch/answers.hpp"
#include "solver/batch/fingerprint.hpp"

namespace thawline::solver::batch {

/// Answers as they come, appended to a file that outlives a killed run: every record with its
/// length and a CRC-32, so that a torn last one is noticed and cut off. The file is locked while it
/// is open. Memory: 8 bytes a case.
class Journal {
 public:
  /// Opens or makes the file, for answers of `columns` (the last of them a text). Throws InputError
  /// when another process has it, when it was begun with other inputs (`fingerprint` with `part`)
  /// and not `afresh`, or when it holds what no run writes; WriteError when it is no journal or
  /// cannot be written.
  Journal(std::string file, const Fingerprint& fingerprint, const std::string& part,
          std::uint64_t cases, std::vector<Column> columns, bool afresh);
  ~Journal();
  Journal(const Journal&) = delete;
  Journal& operator=(const Journal&) = delete;
  Journal(Journal&&) = delete;
  Journal& operator=(Journal&&) = delete;

  /// True when the answers of case `number` (from 1) are there.
  [[nodiscard]] bool has(std::uint64_t number) const { return offset_[number - 1] > 0; }
  /// Adds the answers of a case. Safe from several threads. Throws WriteError; what was there
  /// before stays whole.
  void append(std::uint64_t number, const Answers& answers);
  [[nodiscard]] Answers read(std::uint64_t number) const;
  /// Bytes of the longest reason in it.
  [[nodiscard]] std::size_t longest_reason() const { return longest_reason_; }
  /// Deletes the file, still locked.
  void remove();

 private:
  void open_locked();
  void refuse_foreign_header() const;
  void read_header(const Fingerprint& fingerprint, const std::string& part);
  void write_header(const Fingerprint& fingerprint, const std::string& part);
  void scan();
  void write_record(const std::string& record);
  [[nodiscard]] std::string read_record(std::uint64_t offset) const;
  [[nodiscard]] Answers unpacked(const std::string& record) const;

  std::string file_;
  int descriptor_ = -1;
  std::uint64_t end_ = 0;  ///< after the last whole record
  double synced_ = 0;
  std::vector<std::uint64_t> offset_;
  std::vector<Column> columns_;
  std::size_t longest_reason_ = 0;
  std::mutex one_at_a_time_;
};

}  // namespace thawline::solver::batch
