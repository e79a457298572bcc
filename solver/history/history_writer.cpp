#include "solver/history/history_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <optional>
#include <system_error>
#include <utility>

#include "cases/input_error.hpp"
#include "solver/history/file_mark.hpp"
#include "solver/history/h5_file.hpp"
#include "solver/history/history_contents.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/section_output.hpp"
#include "solver/history/series.hpp"
#include "solver/history/written_file.hpp"
#include "solver/linear/compensated_sum.hpp"

namespace thawline::solver::history {

namespace {

/// The coolants, or the payloads, and what is written of them.
struct ItemGroup {
  std::vector<int> items;
  std::optional<Series> fraction, mass;
  std::vector<double> row;
};

ItemGroup items_of(const mesh::Network& network, bool coolant) {
  ItemGroup out;
  for (std::size_t i = 0; i < network.items.size(); ++i) {
    if (network.items[i].coolant != coolant) continue;
    out.items.push_back(static_cast<int>(i));
  }
  out.row.resize(out.items.size());
  if (out.items.empty()) return out;
  const std::string group = coolant ? "coolant" : "payload";
  out.fraction.emplace(group + "/liquid_fraction", out.items.size(),
                       Label{"1", "mass-weighted liquid fraction, -1 while absent"});
  out.mass.emplace(group + "/mass", out.items.size(), Label{"kg", "mass in the box"});
  return out;
}

/// Instants of the rows (s): from the start every `output_every`, and the end.
std::vector<double> output_instants(const cases::Run& run) {
  std::vector<double> instants;
  for (std::size_t k = 0;; ++k) {
    const double time = static_cast<double>(k) * run.output_every;
    if (time >= run.duration * (1 - 1e-9)) break;
    instants.push_back(time);
  }
  instants.push_back(run.duration);
  return instants;
}

}  // namespace

struct HistoryWriter::Open {
  const cases::Case* the_case = nullptr;
  const mesh::Network* network = nullptr;
  std::string started_utc = utc_now();
  NewFile part;
  std::vector<double> instants;
  std::size_t rows = 0;  ///< written
  Series time{"time", 0, {"s", "time from the start"}};
  std::optional<Series> temperature, enthalpy, fraction, surface;
  std::optional<Series> probes, heat, stored;
  ItemGroup coolant, payload;
  std::vector<int> surface_hubs;
  std::vector<double> surfaces, cells, wide;
  double stored_at_start = 0;

  Open(const std::string& part_file, const cases::Case& c, const mesh::Network& n);
  /// All series but the time, whose rows count only when their time is there.
  std::vector<Series*> series();
};

HistoryWriter::Open::Open(const std::string& part_file, const cases::Case& c,
                          const mesh::Network& n)
    : the_case(&c),
      network(&n),
      part(part_file, FileKind::history),
      instants(output_instants(c.run)),
      coolant(items_of(n, true)),
      payload(items_of(n, false)),
      cells(n.cells.size()) {
  if (c.run.fields) {
    temperature.emplace("fields/temperature", cells.size(), Label{"K", "temperature of the cell"});
    enthalpy.emplace("fields/enthalpy", cells.size(), Label{"J", "enthalpy of the whole cell"});
    fraction.emplace("fields/liquid_fraction", cells.size(),
                     Label{"1", "liquid fraction, -1 in cells that do not melt"});
    if (n.grid.count > 0) {
      surface_hubs = history::surface_hubs(n);
      surfaces.resize(surface_hubs.size());
      surface.emplace("fields/surface_temperature", surfaces.size(),
                      Label{"K", "temperature of the surfaces of the section"});
    }
  }
  const std::size_t probe_count = probe_names(n).size();
  probes.emplace("probes/temperature", probe_count, Label{"K", "temperature of the probe"});
  heat.emplace("budget/heat", n.paths.size(),
               Label{"J", "cumulative heat that came in by the path"});
  stored.emplace("budget/stored", 0,
                 Label{"J", "change of enthalpy since the start less what was moved"});
  wide.resize(std::max(probe_count, n.paths.size()));
}

std::vector<Series*> HistoryWriter::Open::series() {
  std::vector<Series*> all;
  for (auto* one : {&temperature, &enthalpy, &fraction, &surface, &probes, &heat, &stored,
                    &coolant.fraction, &coolant.mass, &payload.fraction, &payload.mass}) {
    if (*one) all.push_back(&**one);
  }
  return all;
}

namespace {

void put_items(const StepView& view, const mesh::Network& network, double time, int descriptor,
               std::size_t row, ItemGroup& items) {
  if (items.items.empty()) return;
  for (std::size_t k = 0; k < items.items.size(); ++k) {
    const int i = items.items[k];
    items.row[k] = item_liquid_fraction(view, network.items[static_cast<std::size_t>(i)], i, time);
  }
  items.fraction->put(descriptor, row, items.row);
  for (std::size_t k = 0; k < items.items.size(); ++k) {
    const int i = items.items[k];
    items.row[k] = view.balance->present(i) ? network.items[static_cast<std::size_t>(i)].mass : 0;
  }
  items.mass->put(descriptor, row, items.row);
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

std::string viewer_file(const std::string& file) {
  return std::filesystem::path(file).replace_extension(".xdmf").string();
}

bool has_viewer_file(const cases::Case& c) {
  return c.run.detail == cases::Detail::two_d && c.run.fields;
}

}  // namespace

void check_history_name(const std::string& file, const cases::Case& c) {
  namespace fs = std::filesystem;
  const fs::path folder = fs::path(file).parent_path();
  std::error_code error;
  if (!folder.empty() && !fs::is_directory(folder, error)) {
    throw WriteError(fmt::format("{}: there is no such folder", folder.string()));
  }
  refuse_foreign(file, FileKind::history);
  refuse_foreign_beginning(file, FileKind::history);
  refuse_foreign(file + ".part", FileKind::history);
  refuse_foreign_beginning(file + ".part", FileKind::history);
  if (is_held(file + ".part")) {
    throw WriteError(fmt::format("{}: another run is at work on it", file));
  }
  if (!has_viewer_file(c)) return;
  refuse_foreign(viewer_file(file), FileKind::xdmf);
  refuse_foreign_beginning(viewer_file(file), FileKind::xdmf);
  if (cases::first_control(fs::path(file).filename().string()) != std::string::npos) {
    throw WriteError(fmt::format(
        "{}: is no name that XML can hold (UTF-8 without control characters); name another file",
        file));
  }
}

HistoryWriter::HistoryWriter(std::string file, const cases::Case& c, const mesh::Network& network)
    : file_(std::move(file)) {
  check_history_name(file_, c);
  H5::Exception::dontPrint();
  const Muted muted;
  try {
    open_ = std::make_unique<Open>(file_ + ".part", c, network);
    // Again, as the file is locked only now.
    check_history_name(file_, c);
    Open& o = *open_;
    NewH5 h5(o.part.path());
    write_unfinished_mark(o.part.descriptor(), FileKind::history, layout_version);
    add_contents(h5.file(), c, network, o.started_utc);
    o.time.make_room(h5.file(), o.instants.size(), never);
    for (auto* series : o.series()) series->make_room(h5.file(), o.instants.size());
    h5.close();
    o.part.give_name();
  } catch (const H5::Exception& error) {
    fail(error.getDetailMsg());
  } catch (const std::system_error& error) {
    fail(error.code().message());
  }
}

HistoryWriter::~HistoryWriter() {
  if (open_) abandon();
}

void HistoryWriter::abandon() {
  if (open_) open_->part.remove();
  open_.reset();
}

void HistoryWriter::fail(const std::string& said) {
  abandon();
  throw WriteError(fmt::format("{}: cannot be written ({})", file_, said));
}

void HistoryWriter::write_row(const StepView& view, double time) {
  Open& o = *open_;
  const HeatBalance& balance = *view.balance;
  const auto cells = static_cast<int>(o.cells.size());
  const int to = o.part.descriptor();
  CompensatedSum sum;
  for (int i = 0; i < cells; ++i) {
    o.cells[static_cast<std::size_t>(i)] = view.enthalpy(i, time);
    if (balance.present(o.network->cells[static_cast<std::size_t>(i)].item)) {
      sum.add(o.cells[static_cast<std::size_t>(i)]);
    }
  }
  double stored = sum.value();
  if (o.rows == 0) o.stored_at_start = stored;
  stored -= o.stored_at_start + view.moved;
  o.stored->put(to, o.rows, {&stored, 1});
  if (o.the_case->run.fields) {
    o.enthalpy->put(to, o.rows, o.cells);
    for (int i = 0; i < cells; ++i) {
      o.cells[static_cast<std::size_t>(i)] =
          balance.thermal_state(view.enthalpy(i, time), i).temperature;
    }
    o.temperature->put(to, o.rows, o.cells);
    for (int i = 0; i < cells; ++i) {
      o.cells[static_cast<std::size_t>(i)] =
          balance.curve(i).melts()
              ? balance.thermal_state(view.enthalpy(i, time), i).liquid_fraction
              : -1;
    }
    o.fraction->put(to, o.rows, o.cells);
    if (o.surface) {
      for (std::size_t i = 0; i < o.surfaces.size(); ++i) {
        o.surfaces[i] = view.surface(o.surface_hubs[i], time);
      }
      o.surface->put(to, o.rows, o.surfaces);
    }
  }
  const auto& probes = o.network->probes;
  for (std::size_t i = 0; i < probes.size(); ++i) {
    o.wide[i] = probe_temperature(view, probes[i], time);
  }
  o.wide[probes.size()] = cases::temperature_at(o.the_case->surroundings.air, time);
  o.probes->put(to, o.rows, {o.wide.data(), probes.size() + 1});
  put_items(view, *o.network, time, to, o.rows, o.coolant);
  put_items(view, *o.network, time, to, o.rows, o.payload);
  const std::size_t paths = o.network->paths.size();
  for (std::size_t i = 0; i < paths; ++i) o.wide[i] = view.heat(static_cast<int>(i), time);
  o.heat->put(to, o.rows, {o.wide.data(), paths});
  // Last, as a row counts only when its time is there.
  o.time.put(to, o.rows, {&time, 1});
  ++o.rows;
}

void HistoryWriter::at_instant(const StepView& view) {
  if (open_->rows == 0) write_rows_to(view, view.end);
}

void HistoryWriter::after_step(const StepView& view) { write_rows_to(view, view.end); }

void HistoryWriter::write_rows_to(const StepView& view, double end) {
  Open& o = *open_;
  try {
    while (o.rows < o.instants.size() && o.instants[o.rows] <= end * (1 + 1e-12)) {
      write_row(view, std::min(o.instants[o.rows], end));
    }
  } catch (const std::system_error& error) {
    fail(error.code().message());
  }
}

void HistoryWriter::write_whole(const RunResult& result) {
  Open& o = *open_;
  const int from = o.part.descriptor();
  NewFile whole(file_, FileKind::history);
  NewH5 h5(whole.path());
  write_unfinished_mark(whole.descriptor(), FileKind::history, layout_version);
  add_contents(h5.file(), *o.the_case, *o.network, o.started_utc);
  o.time.copy(from, o.rows, h5.file());
  for (const auto* series : o.series()) series->copy(from, o.rows, h5.file());
  add_answers(h5.file(), *o.the_case, *o.network, result);
  h5.close();
  write_mark(whole.descriptor(), FileKind::history, layout_version);
  whole.give_name();
}

void HistoryWriter::finish(const RunResult& result) {
  const Muted muted;
  Open& o = *open_;
  try {
    write_whole(result);
    if (o.surface) {
      o.instants.resize(o.rows);
      write_text_file(
          viewer_file(file_), FileKind::xdmf,
          xdmf_of(std::filesystem::path(file_).filename().string(), *o.network, o.instants));
    }
  } catch (const H5::Exception& error) {
    fail(error.getDetailMsg());
  } catch (const std::system_error& error) {
    fail(error.code().message());
  }
  abandon();
}

}  // namespace thawline::solver::history
