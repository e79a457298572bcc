#include "solver/program/record_command.hpp"

#include "cases/read_trace.hpp"
#include "cases/record/read_record.hpp"
#include "solver/program/answer.hpp"
#include "solver/program/exit_code.hpp"
#include "solver/program/record_report.hpp"

namespace thawline::program {

CLI::App* add_record_verb(CLI::App& app, RecordSettings& settings) {
  auto* verb = app.add_subcommand("record", "Read a logger's record; print what was understood");
  verb->add_option("FILE", settings.file, "Table a logger exported, with , ; or tabs")->required();
  verb->add_option("--dates", settings.dates,
                   "day_first, month_first or year_first, where the file does not tell")
      ->option_text("ORDER")
      ->check(CLI::IsMember({"day_first", "month_first", "year_first"}));
  verb->add_option("--hour-jumps", settings.hour_jumps,
                   "as_written or taken_out: jumps of the clock by an hour")
      ->option_text("HOW")
      ->check(CLI::IsMember({"as_written", "taken_out"}));
  verb->add_flag("--json", settings.json, "Print it as JSON");
  verb->footer("Example: thawline record cases/examples/van-log.csv");
  return verb;
}

int run_record_verb(const RecordSettings& settings) {
  cases::RecordChoice choice = cases::trace_choice(settings.dates, settings.hour_jumps);
  choice.needs_temperature = false;
  const cases::Record record = cases::read_record(settings.file, choice);
  if (settings.json) {
    print_answer(
        record_report_json(record).dump(2, ' ', false, nlohmann::json::error_handler_t::replace) +
        "\n");
  } else {
    print_answer(record_report(record));
  }
  return done;
}

}  // namespace thawline::program
