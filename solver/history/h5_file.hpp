#pragma once

#include <H5Cpp.h>

#include <span>
#include <string>
#include <vector>

namespace thawline::solver::history {

/// What a dataset holds, written as its attributes.
struct Label {
  std::string units;
  std::string long_name;
};

void write_text(H5::H5Object& at, const std::string& name, const std::string& text);
void write_integer(H5::H5Object& at, const std::string& name, int value);
void label(H5::DataSet& dataset, const Label& label);

void add_strings(H5::Group& group, const std::string& name, const std::vector<std::string>& values,
                 const Label& label);
H5::DataSet add_string(H5::Group& group, const std::string& name, const std::string& value,
                       const Label& label);
H5::DataSet add_doubles(H5::Group& group, const std::string& name,
                        const std::vector<double>& values, const Label& label);
void add_integers(H5::Group& group, const std::string& name, const std::vector<int>& values,
                  const Label& label);
void add_scalar(H5::Group& group, const std::string& name, double value, const Label& label);

/// A dataset that grows by one row at a time: `width` values a row, or a plain series (width 0).
/// Rows wait in memory until there is a chunk of them, as each write of HDF5 costs far more than a
/// row.
class Series {
 public:
  Series(H5::Group& group, const std::string& name, std::size_t width, const Label& label);
  /// Appends one row of max(width, 1) values.
  void append(std::span<const double> row);
  /// Writes the rows that wait.
  void write_out();

 private:
  H5::DataSet dataset_;
  hsize_t width_, chunk_rows_;
  hsize_t written_ = 0;  ///< rows
  hsize_t waiting_ = 0;  ///< rows
  std::vector<double> rows_;
};

}  // namespace thawline::solver::history
