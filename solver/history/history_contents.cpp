#include "solver/history/history_contents.hpp"

#include <fmt/format.h>

#include "solver/history/h5_file.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/resolved_case.hpp"
#include "solver/history/section_output.hpp"

namespace thawline::solver::history {

namespace {

std::vector<std::string> names_of(const auto& list) {
  std::vector<std::string> names;
  names.reserve(list.size());
  for (const auto& entry : list) names.push_back(entry.name);
  return names;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const auto& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

void add_case(H5::H5File& file, const cases::Case& c, const mesh::Network& network) {
  H5::Group as_read = file.createGroup("case");
  auto text = add_string(as_read, "text", c.text, {"1", "the case file as read"});
  write_text(text, "sha256", sha256(c.text));
  write_text(text, "file", c.file);
  add_string(as_read, "materials", c.materials_text,
             {"1", "the materials it takes from material files, as written there"});
  const auto* trace = std::get_if<cases::Trace>(&c.surroundings.air);
  if (trace != nullptr && trace->text) {
    auto rows = add_string(as_read, "trace", *trace->text, {"1", "the trace file as read"});
    write_text(rows, "file", trace->file);
  }
  add_string(as_read, "resolved", resolved_case(c, network).dump(1),
             {"1", "the case as understood, SI values"});
}

void add_grid(H5::H5File& file, const mesh::Network& network) {
  H5::Group grid = file.createGroup("grid");
  std::vector<int> part;
  std::vector<int> column(network.cells.size(), -1);
  std::vector<double> depth;
  std::vector<double> width;
  std::vector<double> volume;
  for (const auto& cell : network.cells) {
    part.push_back(cell.part);
    depth.push_back(cell.depth);
    width.push_back(cell.width);
    volume.push_back(cell.volume);
  }
  for (std::size_t k = 0; k < network.columns.size(); ++k) {
    const auto& c = network.columns[k];
    for (int i = c.first; i < c.first + c.count; ++i) {
      column[static_cast<std::size_t>(i)] = static_cast<int>(k);
    }
  }
  add_integers(grid, "part", part, {"1", "index into part_names"});
  add_strings(grid, "part_names", network.parts, {"1", "parts of the box"});
  add_integers(grid, "column", column, {"1", "index into column_names, -1 for a lumped cell"});
  add_strings(grid, "column_names", names_of(network.columns), {"1", "columns of cells"});
  add_doubles(grid, "depth", depth, {"m", "centre of the cell from the inner end of its column"});
  add_doubles(grid, "width", width, {"m", "thickness of the cell, 0 when lumped"});
  add_doubles(grid, "volume", volume, {"m3", "volume of the cell"});
  if (network.grid.count > 0) add_section_grid(grid, network);
}

void add_limits(H5::H5File& file, const cases::Case& c) {
  H5::Group limits = file.createGroup("limits");
  std::vector<std::string> probes;
  std::vector<std::string> side;
  std::vector<double> temperature;
  std::vector<double> error;
  for (const auto& limit : c.limits) {
    probes.push_back(joined(limit.probes));
    side.emplace_back(cases::word_of(limit.side));
    temperature.push_back(limit.temperature);
    error.push_back(limit.logger_error);
  }
  add_strings(limits, "names", names_of(c.limits), {"1", "names of limits"});
  add_strings(limits, "probes", probes, {"1", "probes watched"});
  add_strings(limits, "side", side, {"1", "not_above or not_below"});
  add_doubles(limits, "temperature", temperature, {"K", "temperature of the limit"});
  add_doubles(limits, "logger_error", error, {"K", "how far a reading may be off"});
}

void add_attributes(H5::H5File& file, const cases::Case& c, const std::string& started_utc) {
  const Provenance p = provenance();
  H5::Group root = file.openGroup("/");
  write_integer(root, "layout_version", layout_version);
  write_integer(root, "completed", 0);
  write_text(root, "program", p.program);
  write_text(root, "program_version", p.version);
  write_text(root, "commit", p.commit);
  write_text(root, "build", p.build);
  write_text(root, "libraries", p.libraries);
  write_text(root, "options", fmt::format("accuracy {} K, 1 thread", c.run.accuracy));
  write_text(root, "title", c.title);
  write_text(root, "started_utc", started_utc);
  write_text(root, "finished_utc", "");
}

void add_names(H5::H5File& file, const std::string& group, const std::vector<std::string>& names,
               const char* what) {
  H5::Group at = file.createGroup(group);
  add_strings(at, "names", names, {"1", what});
}

/// What may not have come about: −1 then.
void add_outcomes(H5::Group& group, const std::string& name, const std::vector<double>& values,
                  const std::string& what, const char* units = "s") {
  auto dataset = add_doubles(group, name, values, {units, what});
  write_integer(dataset, "never", -1);
}

void add_item_answers(H5::H5File& file, const mesh::Network& network, const RunResult& result,
                      bool coolant) {
  std::vector<double> at;
  std::vector<double> coldest;
  for (std::size_t i = 0; i < network.items.size(); ++i) {
    if (network.items[i].coolant != coolant) continue;
    at.push_back(coolant ? result.items[i].spent_at : result.items[i].freezing_at);
    coldest.push_back(result.items[i].coldest.value_or(never));
  }
  H5::Group group = file.openGroup(coolant ? "coolant" : "payload");
  add_outcomes(group, coolant ? "spent_at" : "freezing_at", at,
               coolant ? "instant all of it is liquid" : "instant it begins to freeze");
  add_outcomes(group, "coldest", coldest, "coldest of it at any instant in the box", "K");
}

/// What a logger's error makes of the hold times, each cut at the end of the run.
void add_worth(H5::Group& limits, const cases::Case& c, const RunResult& result) {
  std::vector<double> held;
  std::vector<double> tighter;
  std::vector<double> looser;
  std::vector<int> flat;
  for (const auto& r : result.limits) {
    const double until = std::min(c.run.duration, r.known_until);
    held.push_back(r.held(c.run.duration));
    tighter.push_back(r.tighter.held(until));
    looser.push_back(r.looser.held(until));
    flat.push_back(r.is_flat(c.run.duration) ? 1 : 0);
  }
  add_doubles(limits, "held", held, {"s", "hold time, cut at known_until; 0 when never within"});
  add_doubles(limits, "held_tighter", tighter,
              {"s", "held, had the limit lain a logger's error inward"});
  add_doubles(limits, "held_looser", looser,
              {"s", "held, had the limit lain a logger's error outward"});
  add_integers(limits, "flat", flat, {"1", "1 where that changes it by more than a tenth"});
}

/// What ended each limit.
void add_ends(H5::Group& limits, const cases::Case& c, const mesh::Network& network,
              const RunResult& result) {
  std::vector<std::string> by;
  std::vector<std::string> sentence;
  std::vector<double> frozen;
  for (std::size_t i = 0; i < result.limits.size(); ++i) {
    const Ended& ended = result.ended[i];
    by.push_back(cause_words()[static_cast<std::size_t>(ended.cause)]);
    sentence.push_back(ended_sentence(c, network, result.limits[i], ended));
    frozen.push_back(ended.cause == Cause::nothing ? never : ended.situation.frozen);
  }
  add_strings(limits, "ended_by", by, {"1", "what ended it, or kept it from being met"});
  add_strings(limits, "ended_sentence", sentence, {"1", "the same in a sentence"});
  add_outcomes(limits, "frozen_left", frozen,
               "solid share of the coolant's mass then (-1: none in the box)", "1");
}

void add_limit_answers(H5::H5File& file, const cases::Case& c, const mesh::Network& network,
                       const RunResult& result) {
  H5::Group limits = file.openGroup("limits");
  add_worth(limits, c, result);
  add_ends(limits, c, network, result);
  std::vector<double> chill;
  std::vector<double> hold;
  std::vector<double> end;
  std::vector<double> past;
  std::vector<double> worst;
  std::vector<double> known;
  std::vector<int> returns;
  for (const auto& r : result.limits) {
    worst.push_back(r.worst.value_or(never));
    chill.push_back(r.chill_time);
    hold.push_back(r.hold_time());
    end.push_back(r.end_time);
    known.push_back(r.known_until);
    past.push_back(r.time_past);
    returns.push_back(r.returns);
  }
  add_outcomes(limits, "chill_time", chill, "first instant within the limit");
  add_outcomes(limits, "hold_time", hold, "from the chill time to the first crossing");
  add_outcomes(limits, "end_time", end, "instant of that crossing");
  add_outcomes(
      limits, "known_until", known,
      "last instant at which it could be judged: the end of the run or of a trace, or when "
      "what it watches was taken out");
  add_outcomes(limits, "time_past", past, "total time past the limit after the chill time");
  add_outcomes(limits, "worst", worst,
               "warmest (of a lower limit coldest) of its probes from the chill time on", "K");
  add_integers(limits, "returns", returns, {"1", "how often it came back within"});
}

void add_summary(H5::H5File& file, const Summary& s, double accuracy) {
  H5::Group results = file.createGroup("results");
  add_number(results, "energy_closure", s.closure, {"1", "heat in less stored over exchanged"});
  add_number(results, "steps", s.steps, {"1", "accepted steps"});
  add_number(results, "rejected_steps", s.rejected, {"1", "rejected steps"});
  add_number(results, "newton_iterations", s.newton_iterations, {"1", "Newton iterations"});
  add_number(results, "residual", s.worst_residual / accuracy,
             {"1", "worst accepted Newton residual over the accuracy asked"});
  add_string(results, "stop_reason", s.stop_reason, {"1", "why the run stopped"});
  H5::Group root = file.openGroup("/");
  write_integer(root, "completed", s.completed ? 1 : 0);
  write_text(root, "finished_utc", utc_now());
}

}  // namespace

std::vector<std::string> item_names(const mesh::Network& network, bool coolant) {
  std::vector<std::string> names;
  for (const auto& item : network.items) {
    if (item.coolant == coolant) names.push_back(item.name);
  }
  return names;
}

std::vector<std::string> probe_names(const mesh::Network& network) {
  std::vector<std::string> names = names_of(network.probes);
  names.emplace_back("ambient");
  return names;
}

void add_contents(H5::H5File& file, const cases::Case& c, const mesh::Network& network,
                  const std::string& started_utc) {
  add_attributes(file, c, started_utc);
  add_case(file, c, network);
  add_grid(file, network);
  if (c.run.fields) file.createGroup("fields");
  add_names(file, "probes", probe_names(network), "names of probes");
  add_names(file, "coolant", item_names(network, true), "names");
  add_names(file, "payload", item_names(network, false), "names");
  add_names(file, "budget", network.paths, "paths of heat");
  add_limits(file, c);
}

void add_answers(H5::H5File& file, const cases::Case& c, const mesh::Network& network,
                 const RunResult& result) {
  add_item_answers(file, network, result, true);
  add_item_answers(file, network, result, false);
  add_limit_answers(file, c, network, result);
  add_summary(file, result.summary, c.run.accuracy);
}

}  // namespace thawline::solver::history
