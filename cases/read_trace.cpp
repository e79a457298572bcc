#include "cases/read_trace.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace thawline::cases {

namespace {

std::string list_of(const std::vector<std::string>& names) {
  constexpr std::size_t most = 8;
  std::vector<std::string> quoted;
  for (const auto& name : names) {
    if (quoted.size() == most) break;
    quoted.push_back("'" + shortened(name) + "'");
  }
  return fmt::format("{}{}", fmt::join(quoted, ", "), names.size() > most ? ", ..." : "");
}

std::shared_ptr<const Record> record_of(const LoggedFile& file, const RecordChoice& choice) {
  for (const auto& [known, record] : file.records) {
    if (known == choice) return record;
  }
  return std::make_shared<const Record>(read_record_text(file.text, choice));
}

std::string told_start(const Record& record) {
  if (!record.first_on_clock) return {};
  return fmt::format("{:%Y-%m-%d %H:%M:%S}",
                     std::chrono::floor<std::chrono::seconds>(*record.first_on_clock));
}

std::vector<std::string> notes_of(const Record& record) {
  std::vector<std::string> notes;
  if (record.first_on_clock) {
    notes.push_back(
        fmt::format("the run starts with the first row of the trace, {}", told_start(record)));
  }
  if (record.date_order == DateOrder::day_first || record.date_order == DateOrder::month_first) {
    notes.push_back(fmt::format("the dates of the trace are read with the {} first, told by {}",
                                record.date_order == DateOrder::day_first ? "day" : "month",
                                record.date_order_from));
  }
  constexpr std::size_t most_told = 6;
  for (std::size_t i = 0; i < std::min(record.jumps.size(), most_told); ++i) {
    const auto& jump = record.jumps[i];
    notes.push_back(fmt::format(
        "the clock of the trace jumps {} by an hour in line {}, as at a change of daylight saving; "
        "{}",
        jump.by > 0 ? "ahead" : "back", jump.line,
        jump.taken_out ? "the hour is taken out"
                       : "it is kept as written (`hour_jumps: taken_out`)"));
  }
  if (record.jumps.size() > most_told) {
    notes.push_back(
        fmt::format("the clock of the trace jumps {} more times; `thawline record` shows "
                    "its intervals",
                    record.jumps.size() - most_told));
  }
  if (record.last_row_repeated) {
    notes.emplace_back("the last row of the trace stands twice and is read once");
  }
  return notes;
}

const Channel& channel_named(const Record& record, const std::string& name) {
  return *std::find_if(record.channels.begin(), record.channels.end(), [&name](const Channel& c) {
    return c.name == name && c.unit.measured == Measured::temperature;
  });
}

void refuse_missing(const Record& record, const Channel& channel) {
  if (channel.missing == 0) return;
  std::size_t row = 0;
  while (row < channel.row.size() && channel.row[row] == row) ++row;
  fail_at_reading(record, row, channel.column,
                  "a reading is missing here ('{}' is not a finite number); the air needs one in "
                  "each row");
}

Trace trace_in(const Record& record, const Channel& channel) {
  refuse_missing(record, channel);
  Trace trace;
  trace.text = std::shared_ptr<const std::string>(record.source, &record.source->text);
  trace.channel = channel.name;
  trace.starts = told_start(record);
  trace.notes = notes_of(record);
  trace.temperature = channel.value;
  trace.time.reserve(record.time.size());
  for (const double time : record.time) trace.time.push_back(record.first_elapsed + time);
  for (std::size_t row = 0; row < trace.temperature.size(); ++row) {
    if (trace.temperature[row] >= 150 && trace.temperature[row] <= 400) continue;
    fail_at_reading(record, row, channel.column,
                    "'{}' is out of range; allowed is -123 to 127 degC");
  }
  return trace;
}

/// The channel that is meant; its name is looked for among the temperatures.
std::string channel_meant(const Entry& entry, const Record& record) {
  const auto names = temperature_names(record);
  const auto wanted = entry.find("channel");
  if (!wanted) {
    if (names.size() == 1) return names.front();
    entry.at("trace").fail(fmt::format("'{}' has {} temperatures, {}; say which with `channel:`",
                                       shortened(record.source->file), names.size(),
                                       list_of(names)));
  }
  const std::string name = wanted->line();
  if (std::find(names.begin(), names.end(), name) != names.end()) return name;
  const std::string near = nearest(name, names);
  wanted->fail(fmt::format("'{}' has no temperature named '{}'; {}", shortened(record.source->file),
                           shortened(name),
                           near.empty() ? fmt::format("there are {}", list_of(names))
                                        : fmt::format("did you mean '{}'?", near)));
}

}  // namespace

std::vector<std::string> temperature_names(const Record& record) {
  std::vector<std::string> names;
  for (const auto& channel : record.channels) {
    if (channel.unit.measured == Measured::temperature) names.push_back(channel.name);
  }
  return names;
}

LoggedFile open_logged_file(const std::string& file) {
  return {read_encoded_file(file, most_record_bytes), {}};
}

LoggedFile open_logged_text(const SourceText& source) {
  return {decode_text(source.file, source.text), {}};
}

void add_record(LoggedFile& file, const RecordChoice& choice) {
  for (const auto& [known, record] : file.records) {
    if (known == choice) return;
  }
  file.records.emplace_back(choice, record_of(file, choice));
}

RecordChoice trace_choice(const std::string& dates, const std::string& hour_jumps) {
  RecordChoice choice;
  choice.needs_temperature = true;
  for (const auto order : {DateOrder::day_first, DateOrder::month_first, DateOrder::year_first}) {
    if (dates == word_of(order)) choice.dates = order;
  }
  if (hour_jumps == "taken_out") choice.hour_jumps = HourJumps::taken_out;
  return choice;
}

RecordChoice trace_choice_of(const Entry& entry) {
  std::string dates;
  std::string hour_jumps;
  if (const auto key = entry.find("dates")) {
    dates = key->one_of({"day_first", "month_first", "year_first"});
  }
  if (const auto key = entry.find("hour_jumps")) {
    hour_jumps = key->one_of({"as_written", "taken_out"});
  }
  return trace_choice(dates, hour_jumps);
}

Trace read_trace(const Entry& entry, const LoggedFile& file) {
  const auto record = record_of(file, trace_choice_of(entry));
  return trace_in(*record, channel_named(*record, channel_meant(entry, *record)));
}

Trace read_trace_text(const SourceText& source) {
  const Record record =
      read_record_text(decode_text(source.file, source.text), trace_choice("", ""));
  const auto names = temperature_names(record);
  if (names.size() != 1) {
    throw InputError(fmt::format("{}: has {} temperatures, {}; one is expected", source.file,
                                 names.size(), list_of(names)));
  }
  return trace_in(record, channel_named(record, names.front()));
}

}  // namespace thawline::cases
