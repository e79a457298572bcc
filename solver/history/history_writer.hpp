#pragma once

#include <memory>
#include <string>

#include "cases/case.hpp"
#include "solver/march/march.hpp"
#include "solver/results/run_case.hpp"

namespace thawline::solver::history {

/// Refuses names that a history of the case, its unfinished file or its XDMF file may not be
/// written under (file_kind.hpp), or at which another run is at work. Throws WriteError.
void check_history_name(const std::string& file, const cases::Case& c);

/// Writes a run as it goes to `file` + ".part", each row as soon as it is known, and in `finish`
/// the whole of it, compressed and with checksums, to `file`. A run killed at any instant leaves a
/// ".part" all of whose datasets can be read, with every row up to then. Throws WriteError.
class HistoryWriter : public Watcher {
 public:
  HistoryWriter(std::string file, const cases::Case& c, const mesh::Network& network);
  ~HistoryWriter() override;
  HistoryWriter(const HistoryWriter&) = delete;
  HistoryWriter& operator=(const HistoryWriter&) = delete;
  HistoryWriter(HistoryWriter&&) = delete;
  HistoryWriter& operator=(HistoryWriter&&) = delete;

  void at_instant(const StepView& view) override;
  void after_step(const StepView& view) override;

  /// Writes the whole file with the answers, gives it its name and removes the ".part".
  void finish(const RunResult& result);

 private:
  struct Open;
  void write_whole(const RunResult& result);
  void write_row(const StepView& view, double time);
  void write_rows_to(const StepView& view, double end);
  /// Leaves no file, and throws what HDF5 or the system said.
  [[noreturn]] void fail(const std::string& said);
  void abandon();

  std::string file_;
  std::unique_ptr<Open> open_;
};

}  // namespace thawline::solver::history
