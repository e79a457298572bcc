#pragma once

#include <H5Cpp.h>

#include <cstdint>
#include <span>
#include <string>

#include "solver/history/h5_file.hpp"

namespace thawline::solver::history {

/// One of the series of a history, `width` values a row, or one (width 0). While the run goes on
/// all its rows have their place in the file from the start, unchunked, and each is put there by
/// one plain write as it comes: HDF5 takes no part in it, so that a run killed at any instant
/// leaves a file that is whole but for rows that have not come.
class Series {
 public:
  Series(std::string path, std::size_t width, Label label);

  /// Makes its dataset, with room for `rows` rows and nothing in them.
  void make_room(H5::H5File& file, std::size_t rows);
  /// The same with one value in every row.
  void make_room(H5::H5File& file, std::size_t rows, double everywhere);
  /// Puts row `row` where it belongs. Throws std::system_error.
  void put(int descriptor, std::size_t row, std::span<const double> values) const;
  /// Takes `rows` rows out of the unfinished file into a compressed dataset of another. Throws
  /// std::system_error and H5::Exception.
  void copy(int descriptor, std::size_t rows, H5::H5File& to) const;

 private:
  [[nodiscard]] std::size_t row_bytes() const;
  [[nodiscard]] H5::DataSpace space(std::size_t rows) const;

  std::string path_;
  std::size_t width_;
  Label label_;
  std::uint64_t begins_ = 0;  ///< bytes from the start of the file
};

}  // namespace thawline::solver::history
