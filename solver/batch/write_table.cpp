#include "solver/batch/write_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>
#include <system_error>

#include "solver/batch/csv_table.hpp"
#include "solver/batch/table_layout.hpp"
#include "solver/batch/write_spread.hpp"
#include "solver/history/file_mark.hpp"
#include "solver/history/h5_file.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::batch {

using history::add_string;
using history::add_strings;
using history::FileKind;
using history::NewFile;
using history::write_integer;
using history::write_text;
using history::WriteError;

std::string csv_name(const std::string& file) {
  return std::filesystem::path(file).replace_extension(".csv").string();
}

namespace {

/// Long texts go in chunks of about 256 kB.
hsize_t rows_per_chunk(const Column& column) {
  constexpr hsize_t most = 4096;
  if (column.kind != Kind::text) return most;
  return std::clamp<hsize_t>((1U << 18U) / std::max<hsize_t>(column.longest, 1), 1, most);
}

/// One growing dataset and the rows not yet written to it.
class ColumnDataset {
 public:
  ColumnDataset(H5::H5File& file, const Column& column)
      : column_(&column), rows_at_once_(rows_per_chunk(column)) {
    const hsize_t none = 0;
    const hsize_t unlimited = H5S_UNLIMITED;
    H5::DSetCreatPropList properties = history::guarded(rows_at_once_, 0);
    if (column.kind != Kind::text) set_fill(properties);
    make_groups(file);
    dataset_ = file.createDataSet(column.path, stored_type(column),
                                  H5::DataSpace(1, &none, &unlimited), properties);
    history::label(dataset_, {column.units, column.long_name});
    write_marks();
  }

  void add(double number, const std::string& text) {
    if (column_->kind == Kind::text) {
      texts_.push_back(text);
    } else {
      numbers_.push_back(number == blank && column_->kind != Kind::number ? blank_whole : number);
    }
    if (std::max(texts_.size(), numbers_.size()) >= rows_at_once_) flush();
  }

  void close() {
    flush();
    dataset_.close();
  }

 private:
  void flush() {
    const hsize_t more = std::max(texts_.size(), numbers_.size());
    if (more == 0) return;
    const hsize_t size = rows_ + more;
    dataset_.extend(&size);
    const H5::DataSpace place = dataset_.getSpace();
    place.selectHyperslab(H5S_SELECT_SET, &more, &rows_);
    const H5::DataSpace memory(1, &more);
    if (column_->kind == Kind::text) {
      const std::string texts = history::side_by_side(texts_, column_->longest);
      dataset_.write(texts.data(), stored_type(*column_), memory, place);
    } else {
      dataset_.write(numbers_.data(), H5::PredType::NATIVE_DOUBLE, memory, place);
    }
    rows_ = size;
    texts_.clear();
    numbers_.clear();
  }

  void make_groups(H5::H5File& file) const {
    for (auto slash = column_->path.find('/'); slash != std::string::npos;
         slash = column_->path.find('/', slash + 1)) {
      const std::string group = column_->path.substr(0, slash);
      if (!file.nameExists(group)) file.createGroup(group);
    }
  }

  void set_fill(H5::DSetCreatPropList& properties) const {
    const double fill = column_->kind == Kind::number ? blank : blank_whole;
    properties.setFillValue(H5::PredType::NATIVE_DOUBLE, &fill);
  }

  void write_marks() {
    if (!column_->role.empty()) write_text(dataset_, "role", column_->role);
    if (column_->kind == Kind::text) return;
    const auto type = stored_type(*column_);
    const double fill = column_->kind == Kind::number ? blank : blank_whole;
    dataset_.createAttribute("_FillValue", type, H5::DataSpace(H5S_SCALAR))
        .write(H5::PredType::NATIVE_DOUBLE, &fill);
    if (column_->kind != Kind::word) return;
    std::vector<double> values;
    std::string meanings;
    for (const auto& word : column_->words) {
      meanings += (meanings.empty() ? "" : " ") + word;
      values.push_back(static_cast<double>(values.size()));
    }
    const hsize_t count = values.size();
    dataset_.createAttribute("flag_values", type, H5::DataSpace(1, &count))
        .write(H5::PredType::NATIVE_DOUBLE, values.data());
    write_text(dataset_, "flag_meanings", meanings);
  }

  const Column* column_;
  hsize_t rows_at_once_;
  H5::DataSet dataset_;
  hsize_t rows_ = 0;
  std::vector<double> numbers_;
  std::vector<std::string> texts_;
};

void write_head(H5::H5File& file, const TableHead& head) {
  const auto from = history::provenance();
  H5::Group root = file.openGroup("/");
  write_integer(root, "table_version", table_version);
  write_text(root, "program", from.program);
  write_text(root, "program_version", from.version);
  write_text(root, "commit", from.commit);
  write_text(root, "build", from.build);
  write_text(root, "libraries", from.libraries);
  write_text(root, "options", head.options);
  write_text(root, "title", head.title);
  write_text(root, "started_utc", head.started_utc);
  write_text(root, "finished_utc", history::utc_now());
  write_text(root, "inputs", to_text(head.inputs));
  write_integer(root, "cases", static_cast<int>(head.cases));
  write_integer(root, "part", static_cast<int>(head.part));
  write_integer(root, "parts", static_cast<int>(head.parts));
  write_integer(root, "samples", static_cast<int>(head.samples));
  write_integer(root, "contenders", static_cast<int>(head.contenders));
  H5::Group plan = file.createGroup("plan");
  auto text = add_string(plan, "text", head.plan_text, {"1", "the plan file as read"});
  write_text(text, "file", head.plan_file);
  auto base = add_string(plan, "case", head.case_text, {"1", "the base case as read"});
  write_text(base, "file", head.case_file);
  if (!head.ranked.empty()) {
    add_strings(plan, "ranked", head.ranked, {"1", "inputs drawn for a ranking"});
  }
  std::vector<std::string> order;
  for (const auto& column : head.columns) order.push_back(column.path);
  add_strings(root, "columns", order, {"1", "paths of the columns in their order"});
}

/// The HDF5 side of a table while it is written.
struct OpenTable {
  history::NewH5 h5;
  std::vector<ColumnDataset> columns;

  explicit OpenTable(const std::string& name) : h5(name) {}

  void begin(const TableHead& head) {
    write_head(h5.file(), head);
    columns.reserve(head.columns.size());
    for (const auto& column : head.columns) columns.emplace_back(h5.file(), column);
  }

  void add(const Row& row) {
    for (std::size_t k = 0; k < columns.size(); ++k) columns[k].add(row.numbers[k], row.texts[k]);
  }

  /// Closes piece by piece, as destructors cannot tell what could not be written.
  void close() {
    for (auto& column : columns) column.close();
    h5.close();
  }
};

void write_both(const NewFile& h5, const NewFile& csv, const TableHead& head,
                const RowSource& source) {
  CsvTable text(csv.path(), head.columns);
  auto table = std::make_unique<OpenTable>(h5.path());
  const std::uint64_t rows = rows_of_part(head.cases, head.part, head.parts);
  std::optional<SpreadCollector> spread;
  if (SpreadCollector::applies(head)) spread.emplace(head);
  try {
    history::write_unfinished_mark(h5.descriptor(), FileKind::table, table_version);
    table->begin(head);
    for (std::uint64_t i = 0; i < rows; ++i) {
      const Row row = source(i);
      text.add(row);
      table->add(row);
      if (spread) spread->add(row);
    }
    if (spread) write_spread(table->h5.file(), spread->spread());
    text.finish();
    table->close();
    history::write_mark(h5.descriptor(), FileKind::table, table_version);
  } catch (...) {
    // HDF5 cannot let go of a file it cannot write; it stays open until the program ends.
    (void)table.release();
    throw;
  }
}

}  // namespace

void check_table_names(const std::string& file) {
  history::refuse_foreign(file, FileKind::table);
  history::refuse_foreign_beginning(file, FileKind::table);
  history::refuse_foreign(csv_name(file), FileKind::csv);
  history::refuse_foreign_beginning(csv_name(file), FileKind::csv);
}

void write_table(const std::string& file, const TableHead& head, const RowSource& source) {
  NewFile h5(file, FileKind::table);
  NewFile csv(csv_name(file), FileKind::csv);
  const auto not_in_full = [&file] {
    return WriteError(
        fmt::format("{}: could not be written in full; make room and run this again", file));
  };
  try {
    H5::Exception::dontPrint();
    write_both(h5, csv, head, source);
  } catch (const H5::Exception&) {
    throw not_in_full();
  } catch (const std::system_error&) {
    throw not_in_full();
  }
  csv.give_name();
  h5.give_name();
}

}  // namespace thawline::solver::batch
