#include "cases/fit/read_test_record.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <filesystem>

#include "cases/read_trace.hpp"
#include "cases/record/channel_character.hpp"

namespace thawline::cases {

namespace {

namespace fs = std::filesystem;
constexpr Range instant{0, 366 * 86400.0};

/// The record of one entry with the instant of packing on its clock.
struct OpenRecord {
  Record record;
  double packed = 0;  ///< s after the first row
};

const Channel& channel_named(const Entry& entry, const Record& record) {
  const std::string name = entry.line();
  for (const auto& channel : record.channels) {
    if (channel.name == name && channel.unit.measured == Measured::temperature) return channel;
  }
  const auto names = temperature_names(record);
  const std::string near = nearest(name, names);
  entry.fail(fmt::format(
      "'{}' has no temperature named '{}'; {}", shortened(record.source->file), shortened(name),
      near.empty()
          ? fmt::format("there are: {}", shortened(fmt::format("{}", fmt::join(names, ", "))))
          : fmt::format("did you mean '{}'?", near)));
}

/// When packing was done, in s after the first row.
double read_packed(const Entry& entry, const Record& record) {
  const auto at = entry.find("packed_at");
  if (!at) return record.first_on_clock ? 0 : -record.first_elapsed;
  const std::string text = at->line();
  if (!record.first_on_clock) {
    return at->quantity(dimension::time, {-366 * 86400.0, 366 * 86400.0}) - record.first_elapsed;
  }
  const auto when = written_date_time(text);
  const auto day = when && when->date.order == DateOrder::year_first && !when->zone
                       ? day_of(when->date, DateOrder::year_first)
                       : std::nullopt;
  if (!day) {
    at->fail(fmt::format(
        "'{}' is no instant on the logger's clock; it is written like '{:%Y-%m-%d "
        "%H:%M}'",
        shortened(text), std::chrono::floor<std::chrono::seconds>(*record.first_on_clock)));
  }
  const std::chrono::duration<double> since = *day - *record.first_on_clock;
  return since.count() + when->clock.seconds;
}

OpenRecord open_record(const Entry& entry) {
  const Entry name = entry.at("file");
  const fs::path file = fs::path(entry.source().file).parent_path() / name.line();
  std::error_code error;
  if (!fs::exists(file, error)) {
    name.fail(fmt::format("there is no file '{}'", shortened(file.string())));
  }
  OpenRecord out;
  out.record = read_record(file.string(), trace_choice_of(entry));
  out.packed = read_packed(entry, out.record);
  return out;
}

/// Which row misses the first of the readings between two that are there.
[[noreturn]] void refuse_gap(const OpenRecord& open, const Channel& channel, std::size_t row,
                             double length, std::optional<double> bridge) {
  fail_at_reading(
      open.record, row, channel.column,
      fmt::format("readings of the air outside are missing for {:.4g} min here; {}", length / 60,
                  bridge ? fmt::format("the trial bridges no more than {:.4g} min", *bridge / 60)
                         : std::string("the trial may bridge them with 'bridge:'")));
}

/// Missing readings are bridged by a straight line up to the stated length.
Trace surroundings_trace(const Entry& entry, const OpenRecord& open, const Channel& channel,
                         double offset, std::vector<std::string>& notes) {
  std::optional<double> bridge;
  if (const auto key = entry.find("bridge")) bridge = key->quantity(dimension::time, instant);
  const auto& record = open.record;
  Trace trace;
  trace.channel = channel.name;
  trace.file = record.source->file;
  std::size_t bridged = 0;
  for (std::size_t k = 0; k < channel.row.size(); ++k) {
    const double time = record.time[channel.row[k]] - open.packed;
    const double value = channel.value[k] - offset;
    if (k > 0 && channel.row[k] > channel.row[k - 1] + 1) {
      const double length = record.time[channel.row[k]] - record.time[channel.row[k - 1]];
      if (!bridge || length > *bridge) {
        refuse_gap(open, channel, channel.row[k - 1] + 1, length, bridge);
      }
      ++bridged;
    }
    if (value < 150 || value > 400) {
      fail_at_reading(record, channel.row[k], channel.column,
                      "'{}' is out of range; allowed is -123 to 127 degC");
    }
    trace.time.push_back(time);
    trace.temperature.push_back(value);
  }
  if (bridged > 0) {
    notes.push_back(fmt::format("{} gap{} in the air outside ('{}') bridged by straight lines",
                                bridged, bridged == 1 ? " is" : "s are", channel.name));
  }
  return trace;
}

MeasuredChannel measured_channel(const Entry& entry, const OpenRecord& open,
                                 const Channel& channel) {
  MeasuredChannel out;
  out.channel = channel.name;
  const double step = channel.unit.one - channel.unit.zero;
  const ChannelCharacter character = character_of(open.record, channel);
  out.noise = character.noise.value_or(0) * step;
  out.resolution = character.resolution.value_or(0) * step;
  out.interval = character.interval;
  out.offset_spread = 0.2;
  if (const auto offset = entry.find("offset")) {
    out.offset = offset->quantity(dimension::difference, {-20, 20});
  }
  if (const auto spread = entry.find("offset_spread")) {
    out.offset_spread = spread->quantity(dimension::difference, {0, 20});
  }
  for (std::size_t k = 0; k < channel.row.size(); ++k) {
    out.time.push_back(open.record.time[channel.row[k]] - open.packed);
    out.value.push_back(channel.value[k] - out.offset);
  }
  out.used.assign(out.time.size(), 1);
  return out;
}

std::string read_probe(const Entry& is, const Case& c) {
  std::string word = is.line();
  std::vector<std::string> known = probe_names(c);
  if (std::find(known.begin(), known.end(), word) != known.end()) return word;
  known.insert(known.end(), {"surroundings", "room"});
  const std::string near = nearest(word, known);
  is.fail(near.empty()
              ? fmt::format("'{}' is no probe of the case, nor 'surroundings' or 'room'; "
                            "there are: {}",
                            shortened(word), fmt::join(known, ", "))
              : fmt::format("'{}' is no probe; did you mean '{}'?", shortened(word), near));
}

void read_channels(const Entry& entry, const OpenRecord& open, const Case& c, TestRecord& out) {
  const Entry channels = entry.at("channels");
  need_list(channels);
  for (const auto& item : channels.items()) {
    item.check_keys("measured_channel");
    const Entry named = item.at("channel");
    const Channel& channel = channel_named(named, open.record);
    for (const auto& other : out.channels) {
      if (other.channel == channel.name) named.fail("this channel stands here already");
    }
    if (channel.value.empty()) {
      named.fail(fmt::format("the channel '{}' has no reading", shortened(channel.name)));
    }
    const Entry is = item.at("is");
    MeasuredChannel measured = measured_channel(item, open, channel);
    if (is.line() == "surroundings") {
      if (out.surroundings) is.fail("two channels are the air outside; one is expected");
      out.surroundings = surroundings_trace(entry, open, channel, measured.offset, out.notes);
      continue;
    }
    if (is.line() != "room") measured.probe = read_probe(is, c);
    out.channels.push_back(std::move(measured));
  }
}

/// Marks what does not count; `duration` s of the run.
void leave_out(TestRecord& record, double duration) {
  for (auto& channel : record.channels) {
    for (std::size_t k = 0; k < channel.time.size(); ++k) {
      const double t = channel.time[k];
      if (t < 0 || t > duration) channel.used[k] = 0;
      for (const auto& left : record.left_out) {
        const bool meant = left.channels.empty() ||
                           std::find(left.channels.begin(), left.channels.end(), channel.channel) !=
                               left.channels.end();
        if (meant && t >= left.from && t <= left.to) channel.used[k] = 0;
      }
    }
  }
}

void read_left_out(const Entry& entry, TestRecord& out) {
  std::vector<std::string> names;
  for (const auto& channel : out.channels) names.push_back(channel.channel);
  for (const auto& item : entry.items()) {
    item.check_keys("left_out");
    LeftOut left;
    left.from = item.at("from").quantity(dimension::time, instant);
    left.to = item.at("to").quantity(dimension::time, instant);
    if (left.to <= left.from) item.at("to").fail("must be later than 'from'");
    left.why = item.at("why").line();
    if (const auto channels = item.find("channels")) {
      for (const auto& word : channels->items()) {
        const std::string name = word.line();
        if (std::find(names.begin(), names.end(), name) == names.end()) {
          const std::string near = nearest(name, names);
          word.fail(fmt::format("'{}' is no channel used here{}", shortened(name),
                                near.empty() ? "" : fmt::format("; did you mean '{}'?", near)));
        }
        left.channels.push_back(name);
      }
    }
    out.left_out.push_back(std::move(left));
  }
}

void read_weighed(const Entry& entry, const Case& c, TestRecord& out) {
  std::vector<std::string> names;
  for (const auto& coolant : c.coolants) names.push_back(coolant.name);
  for (const auto& item : entry.items()) {
    item.check_keys("weighed");
    Weighed weighed;
    const Entry of = item.at("of");
    weighed.item = of.line();
    if (std::find(names.begin(), names.end(), weighed.item) == names.end()) {
      const std::string near = nearest(weighed.item, names);
      of.fail(fmt::format("'{}' is no coolant of the case{}", shortened(weighed.item),
                          near.empty() ? "" : fmt::format("; did you mean '{}'?", near)));
    }
    weighed.at = item.at("at").quantity(dimension::time, {0, c.run.duration});
    weighed.melted = item.at("melted").quantity(dimension::mass, {0, 1e5});
    weighed.spread = item.at("spread").quantity(dimension::mass, {1e-6, 1e5});
    out.weighed.push_back(weighed);
  }
}

void read_heat(const Entry& entry, const Case& c, TestRecord& out) {
  for (const auto& item : entry.items()) {
    item.check_keys("known_heat");
    out.heat.push_back({item.at("until").quantity(dimension::time, {0, c.run.duration}),
                        item.at("came_in").quantity(dimension::energy, {-1e10, 1e10}),
                        item.at("spread").quantity(dimension::energy, {1e-3, 1e10})});
  }
}

void refuse_no_overlap(const Entry& entry, const TestRecord& record, double duration) {
  double first = 1e300;
  double last = -1e300;
  bool probed = false;
  for (const auto& channel : record.channels) {
    if (channel.probe.empty()) continue;
    probed = true;
    first = std::min(first, channel.time.front());
    last = std::max(last, channel.time.back());
    if (std::count(channel.used.begin(), channel.used.end(), 1) > 1) return;
  }
  if (!probed) {
    entry.at("channels").fail("no channel is a probe of the case; there is nothing to compare");
  }
  if (last < 0 || first > duration) {
    entry.at("file").fail(
        fmt::format("the record runs from {:.4g} h to {:.4g} h after packing and the run from 0 to "
                    "{:.4g} h; they share no time",
                    first / 3600, last / 3600, duration / 3600));
  }
  entry.at("file").fail("no reading is left within the run; see 'leave_out' and 'packed_at'");
}

}  // namespace

TestRecord read_test_record(const Entry& entry, PlanPlaces& places) {
  entry.check_keys("test_record");
  TestRecord out;
  if (const auto set = entry.find("set")) {
    need_list(*set);
    for (const auto& item : set->items()) {
      item.check_keys("set");
      const CasePath path = places.read_path(item.at("of"));
      const WrittenValue value = written_value(item.at("value"));
      out.settings.push_back({path, value});
      try {
        (void)places.read_with(out.settings);
      } catch (const InputError& error) {
        item.at("value").fail(error.sentence());
      }
    }
  }
  const Case c = places.read_with(out.settings);
  const OpenRecord open = open_record(entry);
  out.file = open.record.source->file;
  out.name = entry.has("name") ? entry.at("name").line() : fs::path(out.file).stem().string();
  if (open.record.first_on_clock && !entry.has("packed_at")) {
    out.notes.emplace_back("packing is taken to be at the first row; 'packed_at' says otherwise");
  }
  for (const auto& jump : open.record.jumps) {
    out.notes.push_back(fmt::format("the clock jumps {} by an hour in line {}; {}",
                                    jump.by > 0 ? "ahead" : "back", jump.line,
                                    jump.taken_out ? "taken out" : "kept as written"));
  }
  if (const auto within = entry.find("packed_within")) {
    out.packed_within = within->quantity(dimension::time, {0, 86400});
  }
  read_channels(entry, open, c, out);
  if (const auto left = entry.find("leave_out")) read_left_out(*left, out);
  if (const auto weighed = entry.find("weighed")) read_weighed(*weighed, c, out);
  if (const auto heat = entry.find("known_heat")) read_heat(*heat, c, out);
  double duration = c.run.duration;
  if (out.surroundings) {
    if (out.surroundings->time.back() <= 0 || out.surroundings->time.front() >= duration) {
      entry.at("file").fail(fmt::format(
          "the air outside was logged from {:.4g} h to {:.4g} h after packing and the run goes "
          "from 0 to {:.4g} h; they share no time",
          out.surroundings->time.front() / 3600, out.surroundings->time.back() / 3600,
          duration / 3600));
    }
    duration = std::min(duration, out.surroundings->time.back());
  }
  leave_out(out, duration);
  refuse_no_overlap(entry, out, duration);
  return out;
}

}  // namespace thawline::cases
