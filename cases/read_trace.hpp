#pragma once

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cases/case.hpp"
#include "cases/entry.hpp"
#include "cases/input_error.hpp"
#include "cases/record/read_record.hpp"

namespace thawline::cases {

/// A trace file: its text, and the records already read from it, one for each choice.
struct LoggedFile {
  DecodedText text;
  std::vector<std::pair<RecordChoice, std::shared_ptr<const Record>>> records;
};

/// Decodes a file or a text already in memory (`source.file` serves messages); reads no record.
[[nodiscard]] LoggedFile open_logged_file(const std::string& file);
[[nodiscard]] LoggedFile open_logged_text(const SourceText& source);

/// Reads the record of a choice once for all. Throws InputError.
void add_record(LoggedFile& file, const RecordChoice& choice);

/// The choice the keys `dates` and `hour_jumps` beside a trace make; either may be empty.
[[nodiscard]] RecordChoice trace_choice(const std::string& dates, const std::string& hour_jumps);

/// The same, read from the keys of an entry.
[[nodiscard]] RecordChoice trace_choice_of(const Entry& entry);

/// Names of the channels that measure a temperature, in their order.
[[nodiscard]] std::vector<std::string> temperature_names(const Record& record);

/// Reads `{trace: FILE, channel: NAME, dates: ..., hour_jumps: ...}`. Rows that tell seconds, hours
/// or `h:mm:ss` are counted from the start of the run; of dated rows the first is at its start.
/// Throws InputError at the case for a channel that is not there or not named where there are
/// several temperatures, and at the trace for its mistakes, a missing reading among them.
[[nodiscard]] Trace read_trace(const Entry& entry, const LoggedFile& file);

/// The trace of the only temperature in a text, made as above. Throws InputError.
[[nodiscard]] Trace read_trace_text(const SourceText& source);

}  // namespace thawline::cases
