#include "solver/program/record_report.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "cases/record/channel_character.hpp"
#include "solver/program/channel_picture.hpp"

namespace thawline::program {

namespace {

using cases::Channel;
using cases::ChannelCharacter;
using cases::Measured;
using cases::Record;
using cases::TimeKind;

std::string time_text(double seconds) {
  if (seconds < 120) return fmt::format("{:.4g} s", seconds);
  if (seconds < 7200) return fmt::format("{:.4g} min", seconds / 60);
  return fmt::format("{:.4g} h", seconds / 3600);
}

std::string line(const char* label, const std::string& text) {
  return fmt::format("  {:<11} {}\n", label, text);
}

const char* separator_word(char separator) {
  return separator == '\t' ? "tabs" : separator == ';' ? "semicolons" : "commas";
}

const char* mark_word(cases::DecimalMark mark) {
  switch (mark) {
    case cases::DecimalMark::point:
      return "point";
    case cases::DecimalMark::comma:
      return "comma";
    case cases::DecimalMark::none:
      break;
  }
  return "none seen";
}

const char* kind_word(TimeKind kind) {
  switch (kind) {
    case TimeKind::elapsed:
      return "elapsed";
    case TimeKind::elapsed_clock:
      return "elapsed h:mm:ss";
    case TimeKind::date_time:
      return "date and time";
    case TimeKind::date_and_time:
      return "date and time in two columns";
    case TimeKind::date:
      break;
  }
  return "dates";
}

const char* order_text(cases::DateOrder order) {
  switch (order) {
    case cases::DateOrder::day_first:
      return "day first";
    case cases::DateOrder::month_first:
      return "month first";
    case cases::DateOrder::year_first:
    case cases::DateOrder::open:
      break;
  }
  return "year first";
}

std::string zone_text(int seconds) {
  const int minutes = std::abs(seconds) / 60;
  return fmt::format("UTC{}{:02}:{:02}", seconds < 0 ? '-' : '+', minutes / 60, minutes % 60);
}

std::string clock_text(const Record& record) {
  return fmt::format("{:%Y-%m-%d %H:%M:%S}",
                     std::chrono::floor<std::chrono::seconds>(*record.first_on_clock));
}

std::string quoted_list(const std::vector<std::string>& names) {
  return fmt::format("'{}'", fmt::join(names, "', '"));
}

std::string time_of(const Record& record) {
  std::string text =
      fmt::format("{} in {}", kind_word(record.time_kind), quoted_list(record.time_columns));
  if (record.time_kind == TimeKind::elapsed) text += " [" + record.time_unit + "]";
  return text;
}

std::string start_of(const Record& record) {
  if (!record.first_on_clock) {
    return fmt::format("{} on the logger's count; no date is told",
                       time_text(record.first_elapsed));
  }
  return fmt::format("{}, {}", clock_text(record),
                     record.zone
                         ? fmt::format("{} by the {}", zone_text(*record.zone), record.zone_from)
                         : "in a zone that is not told");
}

std::string understood(const Record& record) {
  std::string text = "How it was read\n";
  text += line("text", fmt::format("{}{}, lines end with {}", record.encoding,
                                   record.byte_order_mark ? " with a byte order mark" : "",
                                   record.line_end));
  text += line("columns", fmt::format("between {}; decimal mark: {}",
                                      separator_word(record.separator), mark_word(record.mark)));
  text += line(
      "header",
      fmt::format("line {}{}; readings from line {}", record.header_line,
                  record.unit_line > 0 ? fmt::format(", units in line {}", record.unit_line) : "",
                  record.first_line));
  text += line("time", time_of(record));
  if (record.first_on_clock) {
    text += line("dates", fmt::format("{}, told by {}", order_text(record.date_order),
                                      record.date_order_from));
  }
  text += line("first row", start_of(record));
  for (const auto& change : record.zone_changes) {
    text += line("zone", fmt::format("changes from {} to {} in line {}", zone_text(change.from),
                                     zone_text(change.to), change.line));
  }
  constexpr std::size_t most_told = 6;
  for (std::size_t i = 0; i < std::min(record.jumps.size(), most_told); ++i) {
    const auto& jump = record.jumps[i];
    text +=
        line("clock",
             fmt::format("jumps {} by an hour in line {}, as at a change of daylight saving; {}",
                         jump.by > 0 ? "ahead" : "back", jump.line,
                         jump.taken_out ? "taken out" : "kept as written"));
  }
  if (record.jumps.size() > most_told) {
    text += line("clock", fmt::format("and {} more such jumps", record.jumps.size() - most_told));
  }
  if (!record.left_aside.empty()) {
    text += line("left aside", quoted_list(record.left_aside) + ", no numbers");
  }
  if (record.last_row_repeated) text += line("last row", "stands twice; read once");
  return text;
}

std::string unit_text(const Channel& channel) {
  return channel.unit.measured == Measured::unnamed ? "" : " " + channel.unit.written;
}

std::string gaps_text(const ChannelCharacter& character) {
  const std::string beyond = time_text(character.gap_beyond);
  if (character.gaps == 0) return "none longer than " + beyond;
  return fmt::format("{} longer than {}, the longest {} from {}", character.gaps, beyond,
                     time_text(character.longest_gap), time_text(character.longest_gap_at));
}

std::string noise_text(const Channel& channel, const ChannelCharacter& character) {
  if (character.noise) return fmt::format("{:.2g}{}", *character.noise, unit_text(channel));
  if (character.noise_hidden) return "hidden in the resolution";
  return fmt::format("not told by fewer than {} readings in a row", cases::least_for_noise);
}

std::string channel_text(const Record& record, const Channel& channel) {
  const ChannelCharacter character = cases::character_of(record, channel);
  const std::string unit = unit_text(channel);
  std::string text = fmt::format(
      "\n{}{}\n", channel.name,
      unit.empty() ? " (the file names no known unit)"
                   : fmt::format(" [{}]{}", channel.unit.written,
                                 channel.unit_in_cells ? ", unit behind the numbers" : ""));
  text +=
      line("readings", channel.missing == 0
                           ? fmt::format("{}, none missing", channel.value.size())
                           : fmt::format("{}, {} missing", channel.value.size(), channel.missing));
  if (channel.value.empty()) return text;
  text += line("span", fmt::format("{:.{}f} to {:.{}f}{}", channel.unit.as_written(character.least),
                                   channel.decimals, channel.unit.as_written(character.most),
                                   channel.decimals, unit));
  if (channel.value.size() > 1) {
    text += line("interval", fmt::format("{}, {}", time_text(character.interval),
                                         character.regular ? "regular" : "irregular (median)"));
    text += line("gaps", gaps_text(character));
  }
  text +=
      line("resolution", character.resolution ? fmt::format("{:.4g}{}", *character.resolution, unit)
                                              : "no step found");
  text += line("noise", noise_text(channel, character));
  return text + channel_picture(record, channel);
}

nlohmann::ordered_json optional_json(const std::optional<double>& value) {
  return value ? nlohmann::ordered_json(*value) : nlohmann::ordered_json(nullptr);
}

nlohmann::ordered_json channel_json(const Record& record, const Channel& channel) {
  const ChannelCharacter character = cases::character_of(record, channel);
  const bool kelvin = channel.unit.measured == Measured::temperature;
  const std::string in = kelvin ? "_K" : "";
  const double step = kelvin ? channel.unit.one - channel.unit.zero : 1;
  const auto shown = [&](double si) { return kelvin ? si : channel.unit.as_written(si); };
  const auto scaled = [&](const std::optional<double>& value) {
    return optional_json(value ? std::optional(*value * step) : std::nullopt);
  };
  nlohmann::ordered_json json{{"name", channel.name}};
  json["unit"] = channel.unit.measured == Measured::unnamed
                     ? nlohmann::ordered_json(nullptr)
                     : nlohmann::ordered_json(channel.unit.written);
  json["readings"] = channel.value.size();
  json["missing"] = channel.missing;
  if (channel.value.empty()) return json;
  json["least" + in] = shown(character.least);
  json["most" + in] = shown(character.most);
  json["first_s"] = character.first;
  json["last_s"] = character.last;
  json["interval_s"] = character.interval;
  json["regular"] = character.regular;
  json["gaps"] = character.gaps;
  json["gap_beyond_s"] = character.gap_beyond;
  json["longest_gap_s"] = character.longest_gap;
  json["longest_gap_at_s"] = character.longest_gap_at;
  json["resolution" + in] = scaled(character.resolution);
  json["noise" + in] = scaled(character.noise);
  json["noise_hidden"] = character.noise_hidden;
  return json;
}

}  // namespace

std::string record_report(const Record& record) {
  std::string text = fmt::format("{}: {} channel{}, {} rows over {}\n\n", record.source->file,
                                 record.channels.size(), record.channels.size() == 1 ? "" : "s",
                                 record.time.size(), time_text(record.time.back()));
  text += understood(record);
  for (const auto& channel : record.channels) text += channel_text(record, channel);
  text +=
      "\nNoise is what is new with each reading: by the median distance from the straight line\n"
      "through the neighbours. A slow drift does not show in it.\n";
  return cases::without_controls(text);
}

nlohmann::ordered_json record_report_json(const Record& record) {
  nlohmann::ordered_json json{{"file", record.source->file}};
  json["rows"] = record.time.size();
  json["duration_s"] = record.time.back();
  json["encoding"] = record.encoding;
  json["byte_order_mark"] = record.byte_order_mark;
  json["line_end"] = record.line_end;
  json["separator"] = std::string(1, record.separator);
  json["decimal_mark"] = mark_word(record.mark);
  json["header_line"] = record.header_line;
  json["unit_line"] = record.unit_line > 0 ? nlohmann::ordered_json(record.unit_line)
                                           : nlohmann::ordered_json(nullptr);
  json["first_line"] = record.first_line;
  json["time"] = {{"kind", kind_word(record.time_kind)}, {"columns", record.time_columns}};
  if (record.time_kind == TimeKind::elapsed) json["time"]["unit"] = record.time_unit;
  if (record.first_on_clock) {
    json["time"]["first_row"] = clock_text(record);
    json["time"]["dates"] = cases::word_of(record.date_order);
    json["time"]["dates_told_by"] = record.date_order_from;
    json["time"]["zone"] = record.zone ? nlohmann::ordered_json(zone_text(*record.zone))
                                       : nlohmann::ordered_json(nullptr);
  } else {
    json["time"]["first_row_s"] = record.first_elapsed;
  }
  json["clock_jumps"] = nlohmann::ordered_json::array();
  for (const auto& jump : record.jumps) {
    json["clock_jumps"].push_back(
        {{"line", jump.line}, {"by_s", jump.by}, {"taken_out", jump.taken_out}});
  }
  json["zone_changes"] = nlohmann::ordered_json::array();
  for (const auto& change : record.zone_changes) {
    json["zone_changes"].push_back(
        {{"line", change.line}, {"from", zone_text(change.from)}, {"to", zone_text(change.to)}});
  }
  json["last_row_repeated"] = record.last_row_repeated;
  json["left_aside"] = record.left_aside;
  json["channels"] = nlohmann::ordered_json::array();
  for (const auto& channel : record.channels) {
    json["channels"].push_back(channel_json(record, channel));
  }
  return json;
}

}  // namespace thawline::program
