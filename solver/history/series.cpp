#include "solver/history/series.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

#include "solver/history/written_file.hpp"

namespace thawline::solver::history {

namespace {

/// Aims at chunks of about 64 kB, whole rows.
std::size_t rows_per_chunk(std::size_t width) {
  return std::clamp<std::size_t>(8192 / std::max<std::size_t>(width, 1), 1, 256);
}

H5::DSetCreatPropList with_room() {
  H5::DSetCreatPropList properties;
  properties.setLayout(H5D_CONTIGUOUS);
  properties.setAllocTime(H5D_ALLOC_TIME_EARLY);
  properties.setFillTime(H5D_FILL_TIME_NEVER);
  return properties;
}

}  // namespace

Series::Series(std::string path, std::size_t width, Label label)
    : path_(std::move(path)), width_(width), label_(std::move(label)) {}

std::size_t Series::row_bytes() const { return std::max<std::size_t>(width_, 1) * sizeof(double); }

H5::DataSpace Series::space(std::size_t rows) const {
  const std::array<hsize_t, 2> size{rows, width_};
  return {width_ > 0 ? 2 : 1, size.data()};
}

void Series::make_room(H5::H5File& file, std::size_t rows) {
  H5::DataSet dataset =
      file.createDataSet(path_, H5::PredType::NATIVE_DOUBLE, space(rows), with_room());
  history::label(dataset, label_);
  begins_ = dataset.getOffset();
}

void Series::make_room(H5::H5File& file, std::size_t rows, double everywhere) {
  make_room(file, rows);
  const std::vector<double> values(rows * std::max<std::size_t>(width_, 1), everywhere);
  file.openDataSet(path_).write(values.data(), H5::PredType::NATIVE_DOUBLE);
}

void Series::put(int descriptor, std::size_t row, std::span<const double> values) const {
  write_at(descriptor, values.data(), row_bytes(), begins_ + row * row_bytes());
}

void Series::copy(int descriptor, std::size_t rows, H5::H5File& to) const {
  const std::size_t at_once = std::clamp<std::size_t>(rows_per_chunk(width_), 1, rows);
  H5::DataSet dataset =
      to.createDataSet(path_, H5::PredType::IEEE_F64LE, space(rows), guarded(at_once, width_));
  history::label(dataset, label_);
  const H5::DataSpace place = dataset.getSpace();
  std::vector<char> block(at_once * row_bytes());
  for (std::size_t row = 0; row < rows; row += at_once) {
    const std::size_t count = std::min(at_once, rows - row);
    read_at(descriptor, block.data(), count * row_bytes(), begins_ + row * row_bytes());
    const std::array<hsize_t, 2> start{row, 0};
    const std::array<hsize_t, 2> size{count, width_};
    place.selectHyperslab(H5S_SELECT_SET, size.data(), start.data());
    dataset.write(block.data(), H5::PredType::NATIVE_DOUBLE, space(count), place);
  }
}

}  // namespace thawline::solver::history
