#pragma once

#include <memory>
#include <string>

#include "cases/case.hpp"
#include "solver/history/written_file.hpp"
#include "solver/march/march.hpp"
#include "solver/results/run_case.hpp"

namespace thawline::solver::history {

/// Writes a run as it goes to `file` + ".part", flushed about every second, and renames it to
/// `file` in `finish`. The layout is that of LAYOUT.md. Throws WriteError.
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

  /// Adds the answers, closes the file and gives it its name.
  void finish(const RunResult& result);

 private:
  struct Open;
  void write_row(const StepView& view, double time);
  /// Leaves no file, and throws what HDF5 said.
  [[noreturn]] void fail(const std::string& said);
  void abandon();

  std::string file_;
  std::string part_file_;
  std::unique_ptr<Open> open_;
};

}  // namespace thawline::solver::history
