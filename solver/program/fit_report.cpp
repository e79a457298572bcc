#include "solver/program/fit_report.hpp"

#include <fmt/format.h>

#include <cmath>

#include "cases/input_error.hpp"

namespace thawline::program {

using solver::trial::Fitted;
using solver::trial::Learnt;
using solver::trial::Verdict;

namespace {

double hours(double seconds) { return seconds / 3600; }

std::string unit_text(const std::string& unit) { return unit.empty() ? "" : " " + unit; }

std::string hours_text(const solver::trial::Spread& spread) {
  return fmt::format("{:+.1f} h +- {:.1f} h", hours(spread.value), hours(spread.half));
}

std::string learnt_text(const Fitted& fitted) {
  std::string text = "\nWhat the records tell, with 95 % intervals\n";
  for (const auto& d : fitted.derived) {
    text +=
        fmt::format("  {}: {:.3g} {} ({:.3g} to {:.3g})\n", d.name, d.value, d.unit, d.low, d.high);
  }
  for (const auto& value : fitted.values) {
    text += "  " + value_line(value);
    if (value.at_bound) text += "; at its bound";
    if (!value.told) text += "; not told";
    if (value.known) text += fmt::format("; pulled by {:+.1f} deviations", value.pull);
    text += "\n";
  }
  return text;
}

std::string followed_text(const cases::Trial& trial, const Fitted& fitted) {
  std::string text = "\nHow the records were followed\n";
  for (std::size_t r = 0; r < trial.records.size(); ++r) {
    for (std::size_t c = 0; c < trial.records[r].channels.size(); ++c) {
      const auto& f = fitted.followed[r][c];
      if (f.spacing <= 0) continue;
      text += fmt::format(
          "  {}, {}: rms {:.2f} K; correlation {:.2f} over {:.0f} min, gone in {:.1f} h\n",
          trial.records[r].name, trial.records[r].channels[c].channel, f.rms, f.correlation,
          f.spacing / 60, hours(f.memory));
    }
  }
  if (!fitted.follows) {
    text += fmt::format(
        "  The model does NOT follow the records: rms up to {:.1f} K, far above the loggers' "
        "scatter. "
        "What is said\n  above is not to be relied on; look at the picture.\n",
        fitted.misfit);
  }
  text += fmt::format("  {} of {} starting points came to this end; {} cases were computed\n",
                      fitted.agreeing, fitted.starts, fitted.runs);
  return text;
}

std::string verdict_text(const cases::Trial& trial, const Verdict& verdict) {
  const auto& first = trial.records[trial.verdict->first].name;
  const auto& second = trial.records[trial.verdict->second].name;
  std::string text = fmt::format("\nVerdict: '{}' less '{}'\n", second, first);
  if (!verdict.reason.empty()) return text + "  none: " + verdict.reason + "\n";
  text += fmt::format("  measured difference of hold times   {}\n", hours_text(verdict.measured));
  text += fmt::format("  box, start and amount, by the model {}\n", hours_text(verdict.explained));
  text +=
      fmt::format("  left for the coolant itself         {}, {}\n", hours_text(verdict.remaining),
                  verdict.distinguishable() ? "more than these records leave open"
                                            : "not to be told from nothing");
  text += fmt::format("  the model makes of the coolant      {:+.1f} h\n",
                      hours(verdict.coolant_by_model));
  return text;
}

}  // namespace

std::string value_line(const Learnt& value) {
  return fmt::format("{}: {:.4g}{} ({:.4g} to {:.4g})", value.name, value.value,
                     unit_text(value.unit), value.low, value.high);
}

std::string fit_report(const cases::Trial& trial, const Fitted& fitted,
                       const std::optional<Verdict>& verdict) {
  std::string text = learnt_text(fitted);
  if (!fitted.not_separated.empty()) {
    text += "\nWhat cannot be told\n";
    for (const auto& sentence : fitted.not_separated) text += "  " + sentence + "\n";
  }
  if (!fitted.flags.empty()) {
    text += "\nWhat stands out (nothing was mended)\n";
    for (const auto& flag : fitted.flags) {
      text +=
          fmt::format("  {}{}{}: {}\n", trial.records[flag.record].name,
                      flag.channel.empty() ? "" : ", " + flag.channel,
                      flag.at < 0 ? "" : fmt::format(", at {:.1f} h", hours(flag.at)), flag.what);
    }
  }
  text += followed_text(trial, fitted);
  if (verdict) text += verdict_text(trial, *verdict);
  text +=
      "\nIntervals hold what noise, its correlation, offsets and what is known leave open; what "
      "the "
      "model\nitself leaves out comes on top. UA is that of steady walls with films and gasket.\n";
  return cases::without_controls(text);
}

nlohmann::ordered_json fit_report_json(const cases::Trial& trial, const Fitted& fitted,
                                       const std::optional<Verdict>& verdict) {
  using nlohmann::ordered_json;
  ordered_json json;
  json["derived"] = ordered_json::array();
  for (const auto& d : fitted.derived) {
    json["derived"].push_back(
        {{"name", d.name}, {"unit", d.unit}, {"value", d.value}, {"low", d.low}, {"high", d.high}});
  }
  json["values"] = ordered_json::array();
  for (const auto& value : fitted.values) {
    json["values"].push_back({{"name", value.name},
                              {"of", value.path},
                              {"unit", value.unit},
                              {"value", value.value},
                              {"low", value.low},
                              {"high", value.high},
                              {"naive_low", value.naive_low},
                              {"naive_high", value.naive_high},
                              {"told", value.told},
                              {"at_bound", value.at_bound},
                              {"pull", value.known ? ordered_json(value.pull) : nullptr}});
  }
  json["correlation"] = ordered_json::array();
  for (Eigen::Index i = 0; i < fitted.correlation.rows(); ++i) {
    json["correlation"].push_back(ordered_json::array());
    for (Eigen::Index k = 0; k < fitted.correlation.cols(); ++k) {
      json["correlation"].back().push_back(fitted.correlation(i, k));
    }
  }
  json["not_separated"] = fitted.not_separated;
  json["flags"] = ordered_json::array();
  for (const auto& flag : fitted.flags) {
    json["flags"].push_back({{"record", trial.records[flag.record].name},
                             {"channel", flag.channel},
                             {"at_s", flag.at < 0 ? ordered_json(nullptr) : ordered_json(flag.at)},
                             {"what", flag.what}});
  }
  json["followed"] = ordered_json::array();
  for (std::size_t r = 0; r < trial.records.size(); ++r) {
    for (std::size_t c = 0; c < trial.records[r].channels.size(); ++c) {
      const auto& f = fitted.followed[r][c];
      if (f.spacing <= 0) continue;
      json["followed"].push_back({{"record", trial.records[r].name},
                                  {"channel", trial.records[r].channels[c].channel},
                                  {"rms_K", f.rms},
                                  {"scatter_K", f.scatter},
                                  {"deviation_K", f.deviation},
                                  {"correlation", f.correlation},
                                  {"spacing_s", f.spacing},
                                  {"memory_s", f.memory}});
    }
  }
  json["follows"] = fitted.follows;
  json["starts"] = fitted.starts;
  json["agreeing"] = fitted.agreeing;
  json["runs"] = fitted.runs;
  if (verdict) {
    const auto spread = [](const solver::trial::Spread& s) {
      return ordered_json{{"value_s", s.value}, {"half_width_s", s.half}};
    };
    json["verdict"] = {{"reason", verdict->reason},
                       {"measured", spread(verdict->measured)},
                       {"explained", spread(verdict->explained)},
                       {"remaining", spread(verdict->remaining)},
                       {"coolant_by_model_s", verdict->coolant_by_model},
                       {"distinguishable", verdict->distinguishable()}};
  }
  return json;
}

}  // namespace thawline::program
