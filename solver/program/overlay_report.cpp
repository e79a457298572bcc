#include "solver/program/overlay_report.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "cases/input_error.hpp"

namespace thawline::program {

using solver::trial::HoldPair;
using solver::trial::MeasuredHold;
using solver::trial::RecordOverlay;

namespace {

constexpr double sigmas_95 = 1.96;

double hours(double seconds) { return seconds / 3600; }

double scatter_of(const cases::MeasuredChannel& channel) {
  return std::hypot(channel.noise, channel.resolution / std::sqrt(12.0));
}

std::string computed_text(const HoldPair& hold, double duration) {
  const auto& r = hold.computed;
  if (r.chill_time < 0) return "never within";
  if (r.end_time < 0) return fmt::format("at least {:.1f} h", hours(r.held(duration)));
  return fmt::format("{:.1f} h", hours(r.hold_time()));
}

std::string measured_text(const MeasuredHold& m) {
  if (!m.chill_time) return "never within";
  if (!m.hold_time) return fmt::format("at least {:.1f} h", hours(m.known_until - *m.chill_time));
  return fmt::format("{:.1f} h +- {:.1f} h", hours(*m.hold_time), sigmas_95 * hours(m.deviation()));
}

std::string hold_line(const HoldPair& hold, double duration, std::size_t width) {
  std::string text = fmt::format("  {:{}}  computed {}", hold.computed.limit.name, width,
                                 computed_text(hold, duration));
  if (!hold.measured) return text + "; none of its probes was measured\n";
  text += "; measured " + measured_text(*hold.measured);
  if (!hold.measured->not_measured.empty()) {
    text += fmt::format(" (without {})", fmt::join(hold.measured->not_measured, ", "));
  }
  return text + "\n";
}

std::string record_text(const cases::TestRecord& record, const RecordOverlay& over) {
  std::size_t width = 7;
  std::size_t probe_width = 5;
  for (const auto& channel : record.channels) {
    width = std::max(width, channel.channel.size());
    probe_width = std::max(probe_width, channel.probe.size());
  }
  for (const auto& hold : over.holds) width = std::max(width, hold.computed.limit.name.size());
  std::string text = fmt::format("\n{} ({}), {:.1f} h of the run\n", record.name, record.file,
                                 hours(over.duration));
  text +=
      fmt::format("  {:{}}  {:{}}  {:>8}  {:>7}  {:>6}  {:>16}  {:>9}\n", "channel", width, "probe",
                  probe_width, "readings", "mean K", "rms K", "largest K", "scatter K");
  for (std::size_t k = 0; k < record.channels.size(); ++k) {
    const auto& channel = record.channels[k];
    if (channel.probe.empty()) {
      text += fmt::format("  {:{}}  {}\n", channel.channel, width, "the room; drawn only");
      continue;
    }
    const auto& c = over.channels[k];
    text += fmt::format("  {:{}}  {:{}}  {:>8}  {:>+7.2f}  {:>6.2f}  {:>16}  {:>9.2f}\n",
                        channel.channel, width, channel.probe, probe_width, c.used, c.mean, c.rms,
                        fmt::format("{:+.2f} at {:.1f} h", c.largest, hours(c.largest_at)),
                        scatter_of(channel));
  }
  for (const auto& hold : over.holds) text += hold_line(hold, over.duration, width);
  for (const auto& left : record.left_out) {
    text += fmt::format(
        "  left out: {:.4g} to {:.4g} h{}: {}\n", hours(left.from), hours(left.to),
        left.channels.empty() ? "" : fmt::format(" of {}", fmt::join(left.channels, ", ")),
        left.why);
  }
  for (const auto& note : record.notes) text += fmt::format("  note: {}\n", note);
  return text;
}

nlohmann::ordered_json when(double seconds) {
  return seconds < 0 ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(seconds);
}

nlohmann::ordered_json when(const std::optional<double>& seconds) {
  return seconds ? nlohmann::ordered_json(*seconds) : nlohmann::ordered_json(nullptr);
}

nlohmann::ordered_json hold_json(const HoldPair& hold) {
  nlohmann::ordered_json json{{"name", hold.computed.limit.name},
                              {"limit_K", hold.computed.limit.temperature}};
  json["computed"] = {{"chill_time_s", when(hold.computed.chill_time)},
                      {"end_time_s", when(hold.computed.end_time)},
                      {"hold_time_s", when(hold.computed.hold_time())}};
  if (!hold.measured) return json;
  const auto& m = *hold.measured;
  json["measured"] = {{"chill_time_s", when(m.chill_time)}, {"end_time_s", when(m.end_time)},
                      {"hold_time_s", when(m.hold_time)},   {"deviation_s", m.deviation()},
                      {"known_until_s", m.known_until},     {"not_measured", m.not_measured}};
  return json;
}

}  // namespace

std::string overlay_report(const cases::Trial& trial, const std::vector<RecordOverlay>& overlays) {
  std::string text;
  for (std::size_t r = 0; r < overlays.size(); ++r) {
    text += record_text(trial.records[r], overlays[r]);
  }
  text +=
      "\nDifferences are measured less computed. Scatter: noise and rounding of a reading. After "
      "+-: "
      "95 %\nby scatter, offset and interval of the readings.\n";
  return cases::without_controls(text);
}

nlohmann::ordered_json overlay_report_json(const cases::Trial& trial,
                                           const std::vector<RecordOverlay>& overlays) {
  nlohmann::ordered_json json{{"title", trial.title}, {"records", nlohmann::ordered_json::array()}};
  for (std::size_t r = 0; r < overlays.size(); ++r) {
    const auto& record = trial.records[r];
    nlohmann::ordered_json entry{{"name", record.name},
                                 {"file", record.file},
                                 {"duration_s", overlays[r].duration},
                                 {"channels", nlohmann::ordered_json::array()},
                                 {"limits", nlohmann::ordered_json::array()},
                                 {"notes", record.notes}};
    for (std::size_t k = 0; k < record.channels.size(); ++k) {
      const auto& channel = record.channels[k];
      const auto& c = overlays[r].channels[k];
      nlohmann::ordered_json row{{"channel", channel.channel}, {"probe", channel.probe}};
      if (!channel.probe.empty()) {
        row.update({{"used", c.used},
                    {"mean_K", c.mean},
                    {"rms_K", c.rms},
                    {"largest_K", c.largest},
                    {"largest_at_s", c.largest_at},
                    {"scatter_K", scatter_of(channel)}});
      }
      entry["channels"].push_back(row);
    }
    for (const auto& hold : overlays[r].holds) entry["limits"].push_back(hold_json(hold));
    json["records"].push_back(entry);
  }
  return json;
}

}  // namespace thawline::program
