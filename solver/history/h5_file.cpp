#include "solver/history/h5_file.hpp"

#include <algorithm>
#include <array>

namespace thawline::solver::history {

namespace {

H5::StrType text_type() {
  H5::StrType type(H5::PredType::C_S1, H5T_VARIABLE);
  type.setCset(H5T_CSET_UTF8);
  return type;
}

H5::DataSpace line_space(std::size_t count) {
  const hsize_t size = count;
  return {1, &size};
}

/// Aims at chunks of about 64 kB, whole rows.
hsize_t rows_per_chunk(hsize_t width) {
  return std::clamp<hsize_t>(8192 / std::max<hsize_t>(width, 1), 1, 256);
}

}  // namespace

void write_text(H5::H5Object& at, const std::string& name, const std::string& text) {
  const H5::StrType type = text_type();
  if (at.attrExists(name)) at.removeAttr(name);
  at.createAttribute(name, type, H5::DataSpace(H5S_SCALAR)).write(type, text);
}

void write_integer(H5::H5Object& at, const std::string& name, int value) {
  if (at.attrExists(name)) at.removeAttr(name);
  at.createAttribute(name, H5::PredType::STD_I32LE, H5::DataSpace(H5S_SCALAR))
      .write(H5::PredType::NATIVE_INT, &value);
}

void label(H5::DataSet& dataset, const Label& label) {
  write_text(dataset, "units", label.units);
  write_text(dataset, "long_name", label.long_name);
}

void add_strings(H5::Group& group, const std::string& name, const std::vector<std::string>& values,
                 const Label& text) {
  const H5::StrType type = text_type();
  auto dataset = group.createDataSet(name, type, line_space(values.size()));
  std::vector<const char*> pointers;
  pointers.reserve(values.size());
  for (const auto& value : values) pointers.push_back(value.c_str());
  if (!pointers.empty()) dataset.write(pointers.data(), type);
  label(dataset, text);
}

H5::DataSet add_string(H5::Group& group, const std::string& name, const std::string& value,
                       const Label& text) {
  const H5::StrType type = text_type();
  auto dataset = group.createDataSet(name, type, H5::DataSpace(H5S_SCALAR));
  dataset.write(value, type);
  label(dataset, text);
  return dataset;
}

H5::DataSet add_doubles(H5::Group& group, const std::string& name,
                        const std::vector<double>& values, const Label& text) {
  auto dataset = group.createDataSet(name, H5::PredType::IEEE_F64LE, line_space(values.size()));
  if (!values.empty()) dataset.write(values.data(), H5::PredType::NATIVE_DOUBLE);
  label(dataset, text);
  return dataset;
}

void add_integers(H5::Group& group, const std::string& name, const std::vector<int>& values,
                  const Label& text) {
  auto dataset = group.createDataSet(name, H5::PredType::STD_I32LE, line_space(values.size()));
  if (!values.empty()) dataset.write(values.data(), H5::PredType::NATIVE_INT);
  label(dataset, text);
}

void add_scalar(H5::Group& group, const std::string& name, double value, const Label& text) {
  auto dataset = group.createDataSet(name, H5::PredType::IEEE_F64LE, H5::DataSpace(H5S_SCALAR));
  dataset.write(&value, H5::PredType::NATIVE_DOUBLE);
  label(dataset, text);
}

Series::Series(H5::Group& group, const std::string& name, std::size_t width, const Label& text)
    : width_(width), chunk_rows_(rows_per_chunk(width)) {
  const int rank = width_ > 0 ? 2 : 1;
  const std::array<hsize_t, 2> size{0, width_};
  const std::array<hsize_t, 2> most{H5S_UNLIMITED, width_};
  const std::array<hsize_t, 2> chunk{chunk_rows_, std::max<hsize_t>(width_, 1)};
  H5::DSetCreatPropList properties;
  properties.setChunk(rank, chunk.data());
  properties.setShuffle();
  properties.setDeflate(4);
  dataset_ = group.createDataSet(name, H5::PredType::IEEE_F64LE,
                                 H5::DataSpace(rank, size.data(), most.data()), properties);
  label(dataset_, text);
}

void Series::append(std::span<const double> row) {
  rows_.insert(rows_.end(), row.begin(), row.end());
  if (++waiting_ == chunk_rows_) write_out();
}

void Series::write_out() {
  if (waiting_ == 0) return;
  const int rank = width_ > 0 ? 2 : 1;
  const std::array<hsize_t, 2> size{written_ + waiting_, width_};
  dataset_.extend(size.data());
  H5::DataSpace file = dataset_.getSpace();
  const std::array<hsize_t, 2> start{written_, 0};
  const std::array<hsize_t, 2> count{waiting_, width_};
  file.selectHyperslab(H5S_SELECT_SET, count.data(), start.data());
  dataset_.write(rows_.data(), H5::PredType::NATIVE_DOUBLE, H5::DataSpace(rank, count.data()),
                 file);
  written_ += waiting_;
  waiting_ = 0;
  rows_.clear();
}

}  // namespace thawline::solver::history
