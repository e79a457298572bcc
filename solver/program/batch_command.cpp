#include "solver/program/batch_command.hpp"

#include <fmt/format.h>
#include <omp.h>

#include <chrono>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cases/input_error.hpp"
#include "cases/units.hpp"
#include "solver/batch/merge_tables.hpp"
#include "solver/batch/run_batch.hpp"
#include "solver/batch/write_table.hpp"
#include "solver/heat/taken_up.hpp"
#include "solver/program/answer.hpp"
#include "solver/program/batch_progress.hpp"
#include "solver/program/exit_code.hpp"
#include "solver/program/find_report.hpp"
#include "solver/program/plan_report.hpp"
#include "solver/program/shipped_materials.hpp"
#include "solver/results/freeze_coolants.hpp"
#include "solver/trial/read_fitted.hpp"

namespace thawline::program {

using solver::batch::BatchOptions;
using solver::batch::BatchState;

namespace {

/// What all verbs that compute a plan take.
void add_plan_options(CLI::App* verb, BatchSettings& settings) {
  verb->add_option("PLAN", settings.plan_file, "Plan file (YAML)")->required();
  verb->add_option("--table", settings.table,
                   "Table to write (HDF5; CSV beside it); by default as the plan, here")
      ->option_text("FILE");
  verb->add_option("--jobs", settings.jobs, "Cases computed at once; by default one a core")
      ->option_text("N")
      ->check(CLI::Range(1, 1024));
  verb->add_flag("--afresh", settings.afresh, "Start over, whatever is there from earlier runs");
  verb->add_flag("--json", settings.json, "Print the summary as JSON");
  verb->add_flag("--quiet", settings.quiet, "No summary and no progress bar");
  verb->add_option("--materials", settings.materials, "Folder of material files")
      ->option_text("FOLDER");
}

}  // namespace

CLI::App* add_batch_verb(CLI::App& app, BatchSettings& settings) {
  auto* verb = app.add_subcommand("batch", "Compute every case of a plan into one table");
  add_plan_options(verb, settings);
  verb->add_option("--part", settings.part, "Only every n-th case, from the i-th")
      ->option_text("i/n");
  verb->footer(
      "A run that was cut off goes on where it was when started again.\n"
      "Exit codes: 0 the table is whole, failed cases have a reason in it; 2 bad input;\n"
      "3 every case failed; 4 could not write.\n"
      "Example: thawline batch cases/examples/plans/three-foams.yaml --jobs 2");
  return verb;
}

CLI::App* add_find_verb(CLI::App& app, BatchSettings& settings) {
  auto* verb = app.add_subcommand("find", "Find a value that makes a limit hold for a wanted time");
  add_plan_options(verb, settings);
  verb->footer(
      "The plan says what is sought under 'find'; there is one answer for each case of it.\n"
      "Exit codes: 0 a value was found, 2 bad input, 3 none was found, 4 could not write.\n"
      "Example: thawline find cases/examples/plans/wall-for-60-hours.yaml");
  return verb;
}

CLI::App* add_merge_verb(CLI::App& app, MergeSettings& settings) {
  auto* verb = app.add_subcommand("merge", "Join the tables of all parts of a plan");
  verb->add_option("FILES", settings.files, "Tables of the parts (HDF5)")->required();
  verb->add_option("--to", settings.to, "Table to write (HDF5, and CSV beside it)")
      ->option_text("FILE")
      ->required();
  verb->add_flag("--quiet", settings.quiet, "Print nothing");
  verb->footer("Example: thawline merge foams.part-*-of-4.h5 --to foams.h5");
  return verb;
}

namespace {

/// A whole number from 1 to `most`; 0 for anything else.
unsigned count_in(const std::string& text, unsigned most) {
  const auto number = cases::read_number(text);
  if (!number || !(*number >= 1 && *number <= most)) return 0;
  const auto whole = static_cast<unsigned>(*number);
  return whole == *number ? whole : 0;
}

/// "i/n" with 1 ≤ i ≤ n.
void read_part(const std::string& text, BatchOptions& options) {
  constexpr unsigned most_parts = 100000;
  const auto slash = text.find('/');
  options.parts = slash == std::string::npos ? 0 : count_in(text.substr(slash + 1), most_parts);
  options.part = count_in(text.substr(0, slash), options.parts);
  if (options.part > 0) return;
  throw cases::InputError(
      fmt::format("--part: '{}' is no part; it is written like 2/8, the second of eight", text));
}

/// The CSV takes the table's name with its own ending.
void check_table_name(const char* option, const std::string& file) {
  const std::filesystem::path name(file);
  if (name.has_filename() && name.extension() != ".csv") return;
  throw cases::InputError(fmt::format(
      "{}: '{}' is no name for the table; name the HDF5 file, such as foams.h5", option, file));
}

std::string default_table(const std::string& plan_file, const BatchOptions& options) {
  const std::string stem = std::filesystem::path(plan_file).stem().string();
  if (options.parts == 1) return stem + ".h5";
  return fmt::format("{}.part-{}-of-{}.h5", stem, options.part, options.parts);
}

std::string summary_text(const cases::ReadPlan& read, const BatchOptions& options,
                         const BatchState& state) {
  std::string text = read.plan.title + "\n" + plan_detail_line(read) + "\n";
  const std::string csv = solver::batch::csv_name(options.table);
  if (state.whole_before) {
    return text +
           fmt::format("The table of this plan is there already: {} and {}\n", options.table, csv);
  }
  text += fmt::format("  {} cases, {} done, {} failed", state.cases, state.cases - state.failed,
                      state.failed);
  if (state.failed > 0) text += " (the column 'reason' says why)";
  if (state.kept > 0)
    text += fmt::format("\n  {} of them were kept from an earlier run", state.kept);
  return text + fmt::format("\n\nTable: {} and {}\n", options.table, csv);
}

nlohmann::ordered_json summary_json(const std::string& title, const BatchOptions& options,
                                    const BatchState& state, double seconds) {
  return {{"title", title},
          {"table", options.table},
          {"csv", solver::batch::csv_name(options.table)},
          {"whole_before", state.whole_before},
          {"cases", state.cases},
          {"failed", state.failed},
          {"kept", state.kept},
          {"computed", state.computed},
          {"part", options.part},
          {"parts", options.parts},
          {"threads", options.threads},
          {"wall_clock_s", seconds}};
}

}  // namespace

namespace {

/// A plan, its table and how computing it went.
struct Computed {
  cases::ReadPlan read;
  BatchOptions options;
  BatchState state;
};

/// Heat a kilogram takes up to a temperature, from what it comes out of its freezer like.
double taken_up_from_freezer(const cases::Coolant& coolant, double until) {
  cases::Coolant settled = coolant;
  solver::settle_start(settled);
  return solver::heat_taken_up(settled, until);
}

Computed compute(const BatchSettings& settings) {
  Computed out;
  BatchOptions& options = out.options;
  read_part(settings.part, options);
  options.threads = settings.jobs > 0 ? settings.jobs : omp_get_max_threads();
  options.afresh = settings.afresh;
  options.table =
      settings.table.empty() ? default_table(settings.plan_file, options) : settings.table;
  check_table_name("--table", options.table);
  const auto started = std::chrono::steady_clock::now();
  const std::string materials =
      settings.materials.empty() ? shipped_materials() : settings.materials;
  out.read = cases::read_plan(settings.plan_file, materials, taken_up_from_freezer,
                              solver::trial::read_fitted);
  if (settings.must_find && !out.read.plan.find) {
    throw cases::InputError(
        fmt::format("{}: has no 'find'; 'thawline batch' computes it", settings.plan_file));
  }
  const auto inputs = solver::batch::fingerprint(out.read.plan, materials);
  {
    BatchProgress progress(!settings.quiet);
    out.state = solver::batch::run_batch(
        out.read, inputs, options, [&progress](const BatchState& now) { progress.show(now); });
  }
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - started;
  if (settings.json) {
    auto json = summary_json(out.read.plan.title, options, out.state, taken.count());
    json["detail"] = plan_detail_json(out.read);
    json.update(plan_report_json(out.read, options.table));
    print_answer(json.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
  } else if (!settings.quiet) {
    print_answer(summary_text(out.read, options, out.state) + plan_report(out.read, options.table));
  }
  return out;
}

}  // namespace

int run_batch_verb(const BatchSettings& settings) {
  const BatchState state = compute(settings).state;
  return state.cases > 0 && state.failed == state.cases ? not_solved : done;
}

int run_find_verb(const BatchSettings& settings) {
  solver::batch::TableFile table(compute(settings).options.table, 1024);
  return any_found(table) ? done : not_solved;
}

int run_merge_verb(const MergeSettings& settings) {
  check_table_name("--to", settings.to);
  const auto cases = solver::batch::merge_tables(settings.files, settings.to);
  if (!settings.quiet) {
    print_answer(fmt::format("{} cases from {} parts\nTable: {} and {}\n", cases,
                             settings.files.size(), settings.to,
                             solver::batch::csv_name(settings.to)));
  }
  return done;
}

}  // namespace thawline::program
