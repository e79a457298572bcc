#include "solver/batch/read_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>
#include <string_view>

#include "cases/input_error.hpp"
#include "solver/batch/table_layout.hpp"
#include "solver/history/file_mark.hpp"

namespace thawline::solver::batch {

using cases::InputError;

struct TableFile::Open {
  H5::H5File file;
  std::vector<H5::DataSet> datasets;
  std::uint64_t rows = 0;
  std::uint64_t first = 0;
  std::vector<Row> block;
};

namespace {

std::string read_text(const H5::H5Object& at, const std::string& name) {
  std::string text;
  const H5::Attribute attribute = at.openAttribute(name);
  attribute.read(attribute.getStrType(), text);
  return text;
}

int read_integer(const H5::H5Object& at, const std::string& name) {
  int value = 0;
  at.openAttribute(name).read(H5::PredType::NATIVE_INT, &value);
  return value;
}

/// `count` strings from `first` of a dataset of strings.
std::vector<std::string> read_strings(const H5::DataSet& dataset, hsize_t first, hsize_t count) {
  const H5::DataSpace place = dataset.getSpace();
  place.selectHyperslab(H5S_SELECT_SET, &count, &first);
  const H5::StrType type = dataset.getStrType();
  const std::size_t bytes = type.getSize();
  std::string all(bytes * count, '\0');
  dataset.read(all.data(), type, H5::DataSpace(1, &count), place);
  std::vector<std::string> texts;
  texts.reserve(count);
  for (hsize_t i = 0; i < count; ++i) {
    const std::string_view text = std::string_view(all).substr(i * bytes, bytes);
    texts.emplace_back(text.substr(0, text.find('\0')));
  }
  return texts;
}

std::string read_string(const H5::DataSet& dataset) { return read_strings(dataset, 0, 1).front(); }

hsize_t length_of(const H5::DataSet& dataset) {
  hsize_t length = 0;
  dataset.getSpace().getSimpleExtentDims(&length);
  return length;
}

Column read_column(const H5::DataSet& dataset, const std::string& path) {
  Column column{
      path, read_text(dataset, "units"), read_text(dataset, "long_name"), Kind::number, {}};
  if (dataset.attrExists("role")) column.role = read_text(dataset, "role");
  if (dataset.getTypeClass() == H5T_STRING) {
    column.kind = Kind::text;
    column.longest = dataset.getStrType().getSize();
  } else if (dataset.attrExists("flag_meanings")) {
    column.kind = Kind::word;
    std::istringstream words(read_text(dataset, "flag_meanings"));
    std::string word;
    while (words >> word) column.words.push_back(word);
  } else if (dataset.getTypeClass() == H5T_INTEGER) {
    column.kind = Kind::whole;
  }
  return column;
}

}  // namespace

TableFile::TableFile(const std::string& file, std::uint64_t rows_at_once)
    : file_(file), rows_at_once_(rows_at_once), open_(std::make_unique<Open>()) {
  history::check_whole(file, history::FileKind::table, table_version);
  try {
    H5::Exception::dontPrint();
    open_->file.openFile(file, H5F_ACC_RDONLY);
    read_head();
  } catch (const H5::Exception&) {
    throw InputError(fmt::format("{}: is no whole table of a batch", file));
  }
}

TableFile::~TableFile() = default;
TableFile::TableFile(TableFile&&) noexcept = default;

void TableFile::read_head() {
  H5::H5File& file = open_->file;
  const H5::Group root = file.openGroup("/");
  head_.title = read_text(root, "title");
  head_.options = read_text(root, "options");
  head_.started_utc = read_text(root, "started_utc");
  head_.inputs = from_text(read_text(root, "inputs"));
  head_.cases = static_cast<std::uint64_t>(read_integer(root, "cases"));
  head_.part = static_cast<unsigned>(read_integer(root, "part"));
  head_.parts = static_cast<unsigned>(read_integer(root, "parts"));
  head_.samples = static_cast<std::uint64_t>(read_integer(root, "samples"));
  head_.contenders = static_cast<std::uint64_t>(read_integer(root, "contenders"));
  if (file.nameExists("plan/ranked")) {
    const H5::DataSet ranked = file.openDataSet("plan/ranked");
    head_.ranked = read_strings(ranked, 0, length_of(ranked));
  }
  const H5::DataSet plan = file.openDataSet("plan/text");
  head_.plan_text = read_string(plan);
  head_.plan_file = read_text(plan, "file");
  const H5::DataSet base = file.openDataSet("plan/case");
  head_.case_text = read_string(base);
  head_.case_file = read_text(base, "file");
  const H5::DataSet order = file.openDataSet("columns");
  for (const auto& path : read_strings(order, 0, length_of(order))) {
    open_->datasets.push_back(file.openDataSet(path));
    head_.columns.push_back(read_column(open_->datasets.back(), path));
  }
  open_->rows = rows_of_part(head_.cases, head_.part, head_.parts);
  for (const auto& dataset : open_->datasets) {
    if (length_of(dataset) != open_->rows) {
      throw InputError(fmt::format("{}: does not hold all of its rows", file_));
    }
  }
}

void TableFile::read_block(std::uint64_t first) {
  const hsize_t start = first;
  const hsize_t count = std::min(rows_at_once_, open_->rows - first);
  const std::size_t width = head_.columns.size();
  open_->first = first;
  open_->block.assign(count, {std::vector<double>(width), std::vector<std::string>(width)});
  std::vector<double> numbers(count);
  for (std::size_t k = 0; k < width; ++k) {
    const H5::DataSet& dataset = open_->datasets[k];
    if (head_.columns[k].kind == Kind::text) {
      auto texts = read_strings(dataset, start, count);
      for (hsize_t i = 0; i < count; ++i) open_->block[i].texts[k] = std::move(texts[i]);
      continue;
    }
    const H5::DataSpace place = dataset.getSpace();
    place.selectHyperslab(H5S_SELECT_SET, &count, &start);
    dataset.read(numbers.data(), H5::PredType::NATIVE_DOUBLE, H5::DataSpace(1, &count), place);
    const bool whole = head_.columns[k].kind != Kind::number;
    for (hsize_t i = 0; i < count; ++i) {
      open_->block[i].numbers[k] = whole && numbers[i] == blank_whole ? blank : numbers[i];
    }
  }
}

Row TableFile::row(std::uint64_t row) {
  if (row < open_->first || row >= open_->first + open_->block.size()) {
    try {
      read_block(row);
    } catch (const H5::Exception&) {
      throw InputError(fmt::format("{}: cannot be read; it is damaged", file_));
    }
  }
  return open_->block[row - open_->first];
}

}  // namespace thawline::solver::batch
