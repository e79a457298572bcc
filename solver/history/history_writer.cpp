#include "solver/history/history_writer.hpp"

#include <fmt/format.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <utility>

#include "solver/history/h5_file.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/resolved_case.hpp"
#include "solver/history/section_output.hpp"
#include "solver/linear/compensated_sum.hpp"

namespace thawline::solver::history {

namespace {

constexpr int layout_version = 1;
using Clock = std::chrono::steady_clock;

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

/// A part of the items (coolants or payloads) and their series.
struct ItemGroup {
  H5::Group group;
  std::vector<int> items;
  std::optional<Series> fraction, mass;
  std::vector<double> row;
};

}  // namespace

struct HistoryWriter::Open {
  H5::H5File file;
  const cases::Case* the_case = nullptr;
  const mesh::Network* network = nullptr;
  std::optional<Series> time, temperature, enthalpy, fraction, probes, heat, stored;
  ItemGroup coolant, payload;
  std::optional<Series> surface;
  std::vector<int> surface_hubs;
  std::vector<double> surfaces;
  std::vector<double> written;  ///< s, instants of the rows, kept for the XDMF file
  std::vector<double> cells, wide;
  double next_output = 0;
  double stored_at_start = 0;
  bool started = false;
  Clock::time_point flushed = Clock::now();

  /// Brings the file up to the last row.
  void flush() {
    for (auto* series :
         {&time, &temperature, &enthalpy, &fraction, &probes, &heat, &stored, &surface,
          &coolant.fraction, &coolant.mass, &payload.fraction, &payload.mass}) {
      if (*series) (*series)->write_out();
    }
    file.flush(H5F_SCOPE_GLOBAL);
    flushed = Clock::now();
  }
};

namespace {

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
  std::vector<double> temperature;
  for (const auto& limit : c.limits) {
    probes.push_back(joined(limit.probes));
    temperature.push_back(limit.temperature);
  }
  add_strings(limits, "names", names_of(c.limits), {"1", "names of limits"});
  add_strings(limits, "probes", probes, {"1", "probes watched"});
  add_doubles(limits, "temperature", temperature, {"K", "temperature of the limit"});
}

void open_items(H5::H5File& file, const std::string& name, const mesh::Network& network,
                bool coolant, ItemGroup& out) {
  out.group = file.createGroup(name);
  std::vector<std::string> names;
  for (std::size_t i = 0; i < network.items.size(); ++i) {
    if (network.items[i].coolant != coolant) continue;
    out.items.push_back(static_cast<int>(i));
    names.push_back(network.items[i].name);
  }
  add_strings(out.group, "names", names, {"1", "names"});
  if (names.empty()) return;
  out.fraction.emplace(out.group, "liquid_fraction", names.size(),
                       Label{"1", "mass-weighted liquid fraction, -1 while absent"});
  out.mass.emplace(out.group, "mass", names.size(), Label{"kg", "mass in the box"});
  out.row.resize(names.size());
}

void append_items(const StepView& view, const mesh::Network& network, double time,
                  ItemGroup& items) {
  if (items.items.empty()) return;
  for (std::size_t k = 0; k < items.items.size(); ++k) {
    const int i = items.items[k];
    items.row[k] = item_liquid_fraction(view, network.items[static_cast<std::size_t>(i)], i, time);
  }
  items.fraction->append(items.row);
  for (std::size_t k = 0; k < items.items.size(); ++k) {
    const int i = items.items[k];
    items.row[k] = view.balance->present(i) ? network.items[static_cast<std::size_t>(i)].mass : 0;
  }
  items.mass->append(items.row);
}

/// Under a temporary name first, like the history itself.
void write_whole(const std::string& file, const std::string& text) {
  const std::string part = file + ".part";
  std::ofstream out(part);
  out << text;
  out.close();
  if (!out) throw WriteError(fmt::format("{}: cannot be written", file));
  give_name(part, file);
}

/// What could not be written cannot be closed either, and HDF5's destructors say so on stderr: not
/// while one of these lives.
class Muted {
 public:
  Muted() = default;
  ~Muted() { std::cerr.rdbuf(shown_); }
  Muted(const Muted&) = delete;
  Muted& operator=(const Muted&) = delete;
  Muted(Muted&&) = delete;
  Muted& operator=(Muted&&) = delete;

 private:
  std::streambuf* shown_ = std::cerr.rdbuf(nullptr);
};

}  // namespace

HistoryWriter::HistoryWriter(std::string file, const cases::Case& c, const mesh::Network& network)
    : file_(std::move(file)), part_file_(file_ + ".part"), open_(std::make_unique<Open>()) {
  H5::Exception::dontPrint();
  namespace fs = std::filesystem;
  std::error_code error;
  if (fs::is_directory(file_, error)) {
    throw WriteError(fmt::format("{}: is a folder; a file name is expected", file_));
  }
  const fs::path folder = fs::path(file_).parent_path();
  if (!folder.empty() && !fs::is_directory(folder, error)) {
    throw WriteError(fmt::format("{}: there is no such folder", folder.string()));
  }
  const Muted muted;
  try {
    Open& o = *open_;
    o.the_case = &c;
    o.network = &network;
    o.file = H5::H5File(part_file_, H5F_ACC_TRUNC);
    const Provenance p = provenance();
    H5::Group root = o.file.openGroup("/");
    write_integer(root, "layout_version", layout_version);
    write_integer(root, "completed", 0);
    write_text(root, "program", p.program);
    write_text(root, "program_version", p.version);
    write_text(root, "commit", p.commit);
    write_text(root, "build", p.build);
    write_text(root, "libraries", p.libraries);
    write_text(root, "options", fmt::format("accuracy {} K, 1 thread", c.run.accuracy));
    write_text(root, "title", c.title);
    write_text(root, "started_utc", utc_now());
    write_text(root, "finished_utc", "");
    H5::Group as_read = o.file.createGroup("case");
    auto text = add_string(as_read, "text", c.text, {"1", "the case file as read"});
    write_text(text, "sha256", sha256(c.text));
    write_text(text, "file", c.file);
    add_string(as_read, "resolved", resolved_case(c, network).dump(1),
               {"1", "the case as understood, SI values"});
    add_grid(o.file, network);
    o.time.emplace(root, "time", 0, Label{"s", "time from the start"});
    const std::size_t cells = network.cells.size();
    if (c.run.fields) {
      H5::Group fields = o.file.createGroup("fields");
      o.temperature.emplace(fields, "temperature", cells, Label{"K", "temperature of the cell"});
      o.enthalpy.emplace(fields, "enthalpy", cells, Label{"J", "enthalpy of the whole cell"});
      o.fraction.emplace(fields, "liquid_fraction", cells,
                         Label{"1", "liquid fraction, -1 in cells that do not melt"});
      if (network.grid.count > 0) {
        o.surface_hubs = surface_hubs(network);
        o.surfaces.resize(o.surface_hubs.size());
        o.surface.emplace(fields, "surface_temperature", o.surfaces.size(),
                          Label{"K", "temperature of the surfaces of the section"});
      }
    }
    o.cells.resize(cells);
    H5::Group probes = o.file.createGroup("probes");
    std::vector<std::string> probe_names = names_of(network.probes);
    probe_names.emplace_back("ambient");
    add_strings(probes, "names", probe_names, {"1", "names of probes"});
    o.probes.emplace(probes, "temperature", probe_names.size(),
                     Label{"K", "temperature of the probe"});
    open_items(o.file, "coolant", network, true, o.coolant);
    open_items(o.file, "payload", network, false, o.payload);
    H5::Group budget = o.file.createGroup("budget");
    add_strings(budget, "names", network.paths, {"1", "paths of heat"});
    o.heat.emplace(budget, "heat", network.paths.size(),
                   Label{"J", "cumulative heat that came in by the path"});
    o.stored.emplace(budget, "stored", 0,
                     Label{"J", "change of enthalpy since the start less what was moved"});
    add_limits(o.file, c);
    o.wide.resize(std::max(probe_names.size(), network.paths.size()));
    o.file.flush(H5F_SCOPE_GLOBAL);
  } catch (const H5::Exception& error_from_hdf5) {
    fail(error_from_hdf5.getDetailMsg());
  }
}

HistoryWriter::~HistoryWriter() {
  if (open_) abandon();
}

void HistoryWriter::abandon() {
  const Muted muted;
  open_.reset();
  std::error_code error;
  std::filesystem::remove(part_file_, error);
}

void HistoryWriter::fail(const std::string& said) {
  abandon();
  throw WriteError(fmt::format("{}: cannot be written ({})", file_, said));
}

void HistoryWriter::write_row(const StepView& view, double time) {
  Open& o = *open_;
  const HeatBalance& balance = *view.balance;
  const auto cells = static_cast<int>(o.cells.size());
  o.time->append({&time, 1});
  CompensatedSum sum;
  for (int i = 0; i < cells; ++i) {
    o.cells[static_cast<std::size_t>(i)] = view.enthalpy(i, time);
    if (balance.present(o.network->cells[static_cast<std::size_t>(i)].item)) {
      sum.add(o.cells[static_cast<std::size_t>(i)]);
    }
  }
  double stored = sum.value();
  if (!o.started) o.stored_at_start = stored;
  o.started = true;
  stored -= o.stored_at_start + view.moved;
  o.stored->append({&stored, 1});
  if (o.the_case->run.fields) {
    o.enthalpy->append(o.cells);
    for (int i = 0; i < cells; ++i) {
      o.cells[static_cast<std::size_t>(i)] =
          balance.thermal_state(view.enthalpy(i, time), i).temperature;
    }
    o.temperature->append(o.cells);
    for (int i = 0; i < cells; ++i) {
      o.cells[static_cast<std::size_t>(i)] =
          balance.curve(i).melts()
              ? balance.thermal_state(view.enthalpy(i, time), i).liquid_fraction
              : -1;
    }
    o.fraction->append(o.cells);
    if (o.surface) {
      for (std::size_t i = 0; i < o.surfaces.size(); ++i) {
        o.surfaces[i] = view.surface(o.surface_hubs[i], time);
      }
      o.surface->append(o.surfaces);
      o.written.push_back(time);
    }
  }
  const auto& probes = o.network->probes;
  for (std::size_t i = 0; i < probes.size(); ++i) {
    o.wide[i] = probe_temperature(view, probes[i], time);
  }
  o.wide[probes.size()] = cases::temperature_at(o.the_case->surroundings.air, time);
  o.probes->append({o.wide.data(), probes.size() + 1});
  append_items(view, *o.network, time, o.coolant);
  append_items(view, *o.network, time, o.payload);
  const std::size_t paths = o.network->paths.size();
  for (std::size_t i = 0; i < paths; ++i) o.wide[i] = view.heat(static_cast<int>(i), time);
  o.heat->append({o.wide.data(), paths});
}

void HistoryWriter::at_instant(const StepView& view) {
  if (open_->started) return;
  try {
    write_row(view, view.end);
    open_->next_output = open_->the_case->run.output_every;
    open_->flush();
  } catch (const H5::Exception& error) {
    fail(error.getDetailMsg());
  }
}

void HistoryWriter::after_step(const StepView& view) {
  Open& o = *open_;
  try {
    while (o.next_output <= view.end * (1 + 1e-12)) {
      write_row(view, std::min(o.next_output, view.end));
      o.next_output += o.the_case->run.output_every;
    }
    const bool last = view.end >= o.the_case->run.duration;
    if (last && o.next_output - o.the_case->run.output_every < view.end * (1 - 1e-9)) {
      write_row(view, view.end);
    }
    if (Clock::now() - o.flushed > std::chrono::seconds(1)) {
      o.flush();
    }
  } catch (const H5::Exception& error) {
    fail(error.getDetailMsg());
  }
}

void HistoryWriter::finish(const RunResult& result) {
  try {
    const Muted muted;
    Open& o = *open_;
    const auto times = [](H5::Group& group, const std::string& name,
                          const std::vector<double>& values, const std::string& what) {
      auto dataset = add_doubles(group, name, values, {"s", what});
      write_integer(dataset, "never", -1);
    };
    for (auto* items : {&o.coolant, &o.payload}) {
      std::vector<double> at;
      const bool coolant = items == &o.coolant;
      for (const int i : items->items) {
        const ItemResult& r = result.items[static_cast<std::size_t>(i)];
        at.push_back(coolant ? r.spent_at : r.freezing_at);
      }
      times(items->group, coolant ? "spent_at" : "freezing_at", at,
            coolant ? "instant all of it is liquid" : "instant it begins to freeze");
    }
    H5::Group limits = o.file.openGroup("limits");
    std::vector<double> chill;
    std::vector<double> hold;
    std::vector<double> end;
    std::vector<double> past;
    std::vector<int> returns;
    for (const auto& r : result.limits) {
      chill.push_back(r.chill_time);
      hold.push_back(r.hold_time());
      end.push_back(r.end_time);
      past.push_back(r.time_past);
      returns.push_back(r.returns);
    }
    times(limits, "chill_time", chill, "first instant within the limit");
    times(limits, "hold_time", hold, "from the chill time to the first crossing");
    times(limits, "end_time", end, "instant of that crossing");
    times(limits, "time_past", past, "total time past the limit after the chill time");
    add_integers(limits, "returns", returns, {"1", "how often it came back within"});
    H5::Group results = o.file.createGroup("results");
    const Summary& s = result.summary;
    add_scalar(results, "energy_closure", s.closure, {"1", "heat in less stored over exchanged"});
    add_scalar(results, "steps", s.steps, {"1", "accepted steps"});
    add_scalar(results, "rejected_steps", s.rejected, {"1", "rejected steps"});
    add_scalar(results, "newton_iterations", s.newton_iterations, {"1", "Newton iterations"});
    add_scalar(results, "residual", s.worst_residual / o.the_case->run.accuracy,
               {"1", "worst accepted Newton residual over the accuracy asked"});
    add_string(results, "stop_reason", s.stop_reason, {"1", "why the run stopped"});
    H5::Group root = o.file.openGroup("/");
    write_integer(root, "completed", s.completed ? 1 : 0);
    write_text(root, "finished_utc", utc_now());
    o.flush();
  } catch (const H5::Exception& error) {
    fail(error.getDetailMsg());
  }
  const std::string viewer_text = open_->surface
                                      ? xdmf_of(std::filesystem::path(file_).filename().string(),
                                                *open_->network, open_->written)
                                      : "";
  open_.reset();
  give_name(part_file_, file_);
  if (!viewer_text.empty()) {
    write_whole(std::filesystem::path(file_).replace_extension(".xdmf").string(), viewer_text);
  }
}

}  // namespace thawline::solver::history
