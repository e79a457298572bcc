#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "cases/read_trace.hpp"
#include "cases/record/channel_character.hpp"

using namespace thawline::cases;

namespace {

void check_trace(const SourceText& source) {
  const Trace trace = read_trace_text(source);
  if (trace.time.size() < 2 || trace.time.size() != trace.temperature.size()) std::abort();
  for (std::size_t i = 0; i < trace.time.size(); ++i) {
    if (i > 0 && !(trace.time[i] > trace.time[i - 1])) std::abort();
    if (!(trace.temperature[i] >= 150 && trace.temperature[i] <= 400)) std::abort();
  }
}

void check_record(const SourceText& source, const RecordChoice& choice) {
  const Record record = read_record_text(decode_text(source.file, source.text), choice);
  if (record.time.size() < 2 || record.time.front() != 0) std::abort();
  for (std::size_t i = 1; i < record.time.size(); ++i) {
    if (!(record.time[i] > record.time[i - 1])) std::abort();
  }
  for (const auto& channel : record.channels) {
    if (channel.value.size() != channel.row.size()) std::abort();
    if (channel.value.size() + channel.missing != record.time.size()) std::abort();
    for (std::size_t k = 0; k < channel.value.size(); ++k) {
      if (!std::isfinite(channel.value[k]) || channel.row[k] >= record.time.size()) std::abort();
      if (k > 0 && channel.row[k] <= channel.row[k - 1]) std::abort();
    }
    const ChannelCharacter character = character_of(record, channel);
    if (!channel.value.empty() && !(character.least <= character.most)) std::abort();
    if (character.noise && !(*character.noise > 0)) std::abort();
    if (character.resolution && !(*character.resolution > 0)) std::abort();
  }
}

template <typename Check>
void or_refused(Check check) {
  try {
    check();
  } catch (const InputError&) {
    return;
  }
}

}  // namespace

// A record of any bytes is read or refused with an InputError, as a trace and by itself with every
// choice; what is read increases in time.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const SourceText source{"trace.csv", std::string(reinterpret_cast<const char*>(data), size)};
  or_refused([&source] { check_trace(source); });
  for (const auto order : {DateOrder::open, DateOrder::day_first, DateOrder::month_first}) {
    RecordChoice choice;
    choice.dates = order;
    if (order != DateOrder::open) choice.hour_jumps = HourJumps::taken_out;
    or_refused([&source, &choice] { check_record(source, choice); });
  }
  return 0;
}
