#include "solver/history/h5_file.hpp"

#include <algorithm>
#include <array>

#include "solver/history/file_mark.hpp"

namespace thawline::solver::history {

namespace {

/// Of text attributes, which readers meet as plain strings.
H5::StrType attribute_type() {
  H5::StrType type(H5::PredType::C_S1, H5T_VARIABLE);
  type.setCset(H5T_CSET_UTF8);
  return type;
}

/// Aims at chunks of about 64 kB of 8-byte values, whole rows.
hsize_t rows_at_once(hsize_t rows, hsize_t width) {
  const hsize_t most = std::max<hsize_t>(8192 / std::max<hsize_t>(width, 1), 1);
  return std::clamp<hsize_t>(rows, 1, most);
}

H5::DataSet add_line(H5::Group& group, const std::string& name, const H5::DataType& type,
                     const H5::DataType& memory_type, const void* memory, hsize_t count,
                     const Label& text) {
  // An empty list has no chunk, and its extent must be able to grow to have chunks at all.
  const hsize_t most = count > 0 ? count : H5S_UNLIMITED;
  const hsize_t chunk = std::clamp<hsize_t>(count, 1, 1U << 16U);
  H5::DataSet dataset =
      group.createDataSet(name, type, H5::DataSpace(1, &count, &most), guarded(chunk, 0));
  if (count > 0) dataset.write(memory, memory_type);
  label(dataset, text);
  return dataset;
}

}  // namespace

NewH5::NewH5(const std::string& name) {
  H5::FileCreatPropList creation;
  creation.setUserblock(mark_bytes);
  H5::FileAccPropList access;
  access.setLibverBounds(H5F_LIBVER_LATEST, H5F_LIBVER_LATEST);
  file_ = std::make_unique<H5::H5File>(name, H5F_ACC_TRUNC, creation, access);
}

NewH5::~NewH5() { (void)file_.release(); }

void NewH5::close() {
  file_->flush(H5F_SCOPE_GLOBAL);
  file_->close();
  file_.reset();
}

H5::StrType text_type(std::size_t bytes) {
  H5::StrType type(H5::PredType::C_S1, std::max<std::size_t>(bytes, 1));
  type.setCset(H5T_CSET_UTF8);
  type.setStrpad(H5T_STR_NULLPAD);
  return type;
}

std::size_t longest(const std::vector<std::string>& texts) {
  std::size_t most = 0;
  for (const auto& text : texts) most = std::max(most, text.size());
  return most;
}

std::string side_by_side(const std::vector<std::string>& texts, std::size_t bytes) {
  const std::size_t each = std::max<std::size_t>(bytes, 1);
  std::string all;
  all.reserve(each * texts.size());
  for (const auto& text : texts) {
    all += text.substr(0, each);
    all.append(each - std::min(each, text.size()), '\0');
  }
  return all;
}

H5::DSetCreatPropList guarded(hsize_t rows, hsize_t width) {
  H5::DSetCreatPropList properties;
  const std::array<hsize_t, 2> chunk{rows, width};
  properties.setChunk(width > 0 ? 2 : 1, chunk.data());
  properties.setShuffle();
  properties.setDeflate(4);
  properties.setFletcher32();
  return properties;
}

void write_text(H5::H5Object& at, const std::string& name, const std::string& text) {
  const H5::StrType type = attribute_type();
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

H5::DataSet add_strings(H5::Group& group, const std::string& name,
                        const std::vector<std::string>& values, const Label& text) {
  const std::size_t bytes = longest(values);
  const H5::StrType type = text_type(bytes);
  return add_line(group, name, type, type, side_by_side(values, bytes).data(), values.size(), text);
}

H5::DataSet add_string(H5::Group& group, const std::string& name, const std::string& value,
                       const Label& text) {
  return add_strings(group, name, {value}, text);
}

H5::DataSet add_doubles(H5::Group& group, const std::string& name,
                        const std::vector<double>& values, const Label& text) {
  return add_line(group, name, H5::PredType::IEEE_F64LE, H5::PredType::NATIVE_DOUBLE, values.data(),
                  values.size(), text);
}

H5::DataSet add_integers(H5::Group& group, const std::string& name, const std::vector<int>& values,
                         const Label& text) {
  return add_line(group, name, H5::PredType::STD_I32LE, H5::PredType::NATIVE_INT, values.data(),
                  values.size(), text);
}

H5::DataSet add_matrix(H5::Group& group, const std::string& name, const H5::DataType& type,
                       const H5::PredType& memory_type, const void* memory, hsize_t rows,
                       hsize_t width, const Label& text) {
  const std::array<hsize_t, 2> size{rows, width};
  H5::DataSet dataset = group.createDataSet(name, type, H5::DataSpace(2, size.data()),
                                            guarded(rows_at_once(rows, width), width));
  dataset.write(memory, memory_type);
  label(dataset, text);
  return dataset;
}

void add_number(H5::Group& group, const std::string& name, double value, const Label& text) {
  add_doubles(group, name, {value}, text);
}

}  // namespace thawline::solver::history
