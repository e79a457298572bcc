#include "solver/batch/run_batch.hpp"
#include "solver/batch/case_label.hpp"

#include <fmt/format.h>
#include <omp.h>

#include <atomic>
#include <exception>
#include <filesystem>
#include <mutex>

#include "cases/input_error.hpp"
#include "solver/batch/batch_case.hpp"
#include "solver/batch/journal.hpp"
#include "solver/batch/leading_columns.hpp"
#include "solver/batch/read_table.hpp"
#include "solver/batch/write_table.hpp"
#include "solver/history/history_writer.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::batch {

namespace {

namespace fs = std::filesystem;

std::string journal_name(const std::string& table) { return table + ".part"; }

std::string part_text(const BatchOptions& options) {
  return fmt::format("{}/{}", options.part, options.parts);
}

/// True when the table is there already; throws InputError when it is of something else.
bool table_is_there(const Fingerprint& inputs, const BatchOptions& options) {
  check_table_names(options.table);
  std::error_code error;
  if (!fs::exists(options.table, error)) return false;
  if (options.afresh) return false;
  const TableFile table(options.table, 1);
  const std::string changed = difference(inputs, table.head().inputs);
  if (changed.empty() && table.head().part == options.part && table.head().parts == options.parts) {
    return true;
  }
  throw cases::InputError(fmt::format(
      "{}: holds the table of other inputs ({} differ); it is left as it is, '--afresh' replaces "
      "it and '--table' names another",
      options.table, changed.empty() ? "the part" : changed));
}

/// The cases of one run, worked off by several threads.
class Work {
 public:
  Work(const cases::ReadPlan& read, const BatchOptions& options, Journal& journal,
       const BatchWatcher& watcher)
      : read_(read),
        options_(options),
        journal_(journal),
        watcher_(watcher),
        shape_(answer_shape(read)) {
    state_.cases = rows_of_part(case_count(read.plan), options.part, options.parts);
    if (read.plan.keep_histories) make_history_folder();
  }

  [[nodiscard]] const AnswerShape& shape() const { return shape_; }

  BatchState run() {
    count_kept();
    const auto rows = static_cast<std::int64_t>(state_.cases);
#pragma omp parallel num_threads(options_.threads)
    {
      const cases::BaseCase base = cases::base_case(read_.plan);
#pragma omp for schedule(dynamic, 1)
      for (std::int64_t row = 0; row < rows; ++row) {
        if (!stopped_) work_on(base, static_cast<std::uint64_t>(row));
      }
    }
    if (stop_) std::rethrow_exception(stop_);
    return state_;
  }

 private:
  void make_history_folder() {
    history_folder_ = fs::path(options_.table).replace_extension("").string() + "-histories";
    std::error_code error;
    fs::create_directories(history_folder_, error);
    if (error) {
      throw history::WriteError(
          fmt::format("{}: cannot be made ({})", history_folder_, error.message()));
    }
    for (std::uint64_t row = 0; row < state_.cases; ++row) {
      const std::uint64_t number = case_in_row(row, options_.part, options_.parts);
      if (!journal_.has(number)) history::check_history_name(history_of(number), read_.base);
    }
  }

  [[nodiscard]] std::string history_of(std::uint64_t number) const {
    return history_folder_.empty() ? "" : history_folder_ + "/" + history_name(read_.plan, number);
  }

  void count_kept() {
    for (std::uint64_t row = 0; row < state_.cases; ++row) {
      const std::uint64_t number = case_in_row(row, options_.part, options_.parts);
      if (!journal_.has(number)) continue;
      ++state_.kept;
      state_.failed += failed(journal_.read(number)) ? 1 : 0;
    }
  }

  /// No exception may leave a thread: the first one stops all.
  void work_on(const cases::BaseCase& base, std::uint64_t row) noexcept {
    const std::uint64_t number = case_in_row(row, options_.part, options_.parts);
    if (journal_.has(number)) return;
    try {
      const Answers answers = run_one(read_, base, shape_, number, history_of(number));
      journal_.append(number, answers);
      const std::lock_guard lock(one_at_a_time_);
      ++state_.computed;
      state_.failed += failed(answers) ? 1 : 0;
      watcher_(state_);
    } catch (...) {
      const std::lock_guard lock(one_at_a_time_);
      if (!stop_) stop_ = std::current_exception();
      stopped_ = true;
    }
  }

  const cases::ReadPlan& read_;
  const BatchOptions& options_;
  Journal& journal_;
  const BatchWatcher& watcher_;
  AnswerShape shape_;
  BatchState state_;
  std::string history_folder_;
  std::mutex one_at_a_time_;
  std::exception_ptr stop_;
  std::atomic<bool> stopped_ = false;
};

TableHead head_of(const cases::Plan& plan, const Fingerprint& inputs, const BatchOptions& options,
                  const AnswerShape& shape, const std::string& started) {
  TableHead head;
  head.title = plan.title;
  head.plan_file = plan.file;
  head.plan_text = plan.text;
  head.case_file = plan.base.file;
  head.case_text = plan.base.text;
  head.inputs = inputs;
  head.cases = case_count(plan);
  head.part = options.part;
  head.parts = options.parts;
  head.contenders = contenders_of(plan);
  if (plan.tolerances) head.samples = samples_of(plan);
  if (plan.tolerances && plan.tolerances->ranking) {
    for (const auto& input : plan.tolerances->inputs) head.ranked.push_back(input.name);
  }
  head.started_utc = started;
  head.options = fmt::format("{} thread{}", options.threads, options.threads == 1 ? "" : "s");
  head.columns = leading_columns(plan);
  for (auto& column : answer_columns(shape)) head.columns.push_back(std::move(column));
  return head;
}

}  // namespace

BatchState run_batch(const cases::ReadPlan& read, const Fingerprint& inputs,
                     const BatchOptions& options, const BatchWatcher& watcher) {
  const std::string started = history::utc_now();
  BatchState state;
  // Looked at twice: before the journal so that a table of something else is left in peace, and
  // under its lock because another run may have finished meanwhile.
  state.whole_before = table_is_there(inputs, options);
  if (state.whole_before) return state;
  Journal journal(journal_name(options.table), inputs, part_text(options), case_count(read.plan),
                  answer_columns(answer_shape(read)), options.afresh);
  state.whole_before = table_is_there(inputs, options);
  if (state.whole_before) {
    journal.remove();
    return state;
  }
  Work work(read, options, journal, watcher);
  state = work.run();
  TableHead head = head_of(read.plan, inputs, options, work.shape(), started);
  head.columns.back().longest = journal.longest_reason();
  write_table(options.table, head, [&](std::uint64_t row) {
    const std::uint64_t number = case_in_row(row, options.part, options.parts);
    return row_of(read.plan, number, journal.read(number));
  });
  journal.remove();
  return state;
}

}  // namespace thawline::solver::batch
