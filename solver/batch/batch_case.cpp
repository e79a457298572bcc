#include "solver/batch/batch_case.hpp"

#include <mutex>
#include <new>
#include <optional>

#include "cases/input_error.hpp"
#include "solver/batch/case_label.hpp"
#include "solver/batch/find_case.hpp"
#include "solver/history/history_writer.hpp"
#include "solver/results/freeze_coolants.hpp"

namespace thawline::solver::batch {

namespace {

/// Debian's HDF5 serves one thread at a time.
std::mutex& hdf5_mutex() {
  static std::mutex mutex;
  return mutex;
}

/// A history writer that takes its turn with those of other threads.
class PatientWriter : public Watcher {
 public:
  PatientWriter(const std::string& file, const cases::Case& c, const mesh::Network& network) {
    const std::lock_guard lock(hdf5_mutex());
    writer_.emplace(file, c, network);
  }
  ~PatientWriter() override {
    const std::lock_guard lock(hdf5_mutex());
    writer_.reset();
  }
  PatientWriter(const PatientWriter&) = delete;
  PatientWriter& operator=(const PatientWriter&) = delete;
  PatientWriter(PatientWriter&&) = delete;
  PatientWriter& operator=(PatientWriter&&) = delete;

  // Rows go to the file without HDF5.
  void at_instant(const StepView& view) override { writer_->at_instant(view); }
  void after_step(const StepView& view) override { writer_->after_step(view); }
  void finish(const RunResult& result) {
    const std::lock_guard lock(hdf5_mutex());
    writer_->finish(result);
  }

 private:
  std::optional<history::HistoryWriter> writer_;
};

RunResult run_with_history(const cases::Case& c, const mesh::Network& network,
                           const std::string& file) {
  PatientWriter writer(file, c, network);
  RunResult result = run_network(c, network, {&writer});
  if (result.summary.completed) writer.finish(result);
  return result;
}

}  // namespace

Solved solve_case(const cases::ReadPlan& read, const cases::BaseCase& base,
                  const AnswerShape& shape, const std::vector<cases::Setting>& settings,
                  const std::string& history_file, PastTrace past_trace) {
  Solved out;
  mesh::Network network;
  try {
    out.c = base.read_with(settings, read.library, !history_file.empty());
    settle_starts(*out.c);
    network = mesh::build_network(*out.c);
  } catch (const cases::InputError& error) {
    out.c.reset();
    out.answers = no_answers(shape, error.sentence());
    return out;
  }
  if (past_trace == PastTrace::as_given) cases::keep_last_reading(*out.c);
  out.result = history_file.empty() ? run_network(*out.c, network, {})
                                    : run_with_history(*out.c, network, history_file);
  out.answers = out.result.summary.completed ? answers_of(shape, *out.c, network, out.result)
                                             : no_answers(shape, out.result.summary.stop_reason);
  return out;
}

Answers run_one(const cases::ReadPlan& read, const cases::BaseCase& base, const AnswerShape& shape,
                std::uint64_t number, const std::string& history_file) {
  if (read.plan.find) return find_one(read, base, shape, number, history_file);
  const auto settings = history_file.empty() ? settings_of(case_inputs(read.plan, number))
                                             : titled_settings(read.plan, read.base.title, number);
  return solve_case(read, base, shape, settings, history_file).answers;
}

}  // namespace thawline::solver::batch
