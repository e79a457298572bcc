#pragma once

#include <H5Cpp.h>

#include <memory>
#include <string>
#include <vector>

/// Pieces of HDF5 files, alike in histories and tables: every dataset has its unit, and is kept in
/// chunks with a Fletcher32 checksum. Texts are of fixed length, as checksums do not cover others.
namespace thawline::solver::history {

/// What a dataset holds, written as its attributes.
struct Label {
  std::string units;
  std::string long_name;
};

/// An HDF5 file that is written behind room for a mark (file_mark.hpp). One that could not be
/// written in full is never closed, as HDF5 stumbles over it; the program must end by _Exit then.
class NewH5 {
 public:
  /// Throws H5::Exception.
  explicit NewH5(const std::string& name);
  ~NewH5();
  NewH5(const NewH5&) = delete;
  NewH5& operator=(const NewH5&) = delete;
  NewH5(NewH5&&) = delete;
  NewH5& operator=(NewH5&&) = delete;

  [[nodiscard]] H5::H5File& file() { return *file_; }
  /// Throws H5::Exception.
  void close();

 private:
  std::unique_ptr<H5::H5File> file_;
};

/// UTF-8 of at most `bytes` bytes, filled up with NUL.
[[nodiscard]] H5::StrType text_type(std::size_t bytes);

/// Length in bytes of the longest.
[[nodiscard]] std::size_t longest(const std::vector<std::string>& texts);

/// Texts one after the other, each filled up to `bytes` with NUL.
[[nodiscard]] std::string side_by_side(const std::vector<std::string>& texts, std::size_t bytes);

/// Chunks of `rows` x `width` values (rank 2; 1 for width 0), shuffled, compressed, with checksums.
[[nodiscard]] H5::DSetCreatPropList guarded(hsize_t rows, hsize_t width);

void write_text(H5::H5Object& at, const std::string& name, const std::string& text);
void write_integer(H5::H5Object& at, const std::string& name, int value);
void label(H5::DataSet& dataset, const Label& label);

H5::DataSet add_strings(H5::Group& group, const std::string& name,
                        const std::vector<std::string>& values, const Label& label);
/// One text, as a list of one.
H5::DataSet add_string(H5::Group& group, const std::string& name, const std::string& value,
                       const Label& label);
H5::DataSet add_doubles(H5::Group& group, const std::string& name,
                        const std::vector<double>& values, const Label& label);
H5::DataSet add_integers(H5::Group& group, const std::string& name, const std::vector<int>& values,
                         const Label& label);
/// Rows of `width` values of `type`, from `memory` of `memory_type`.
H5::DataSet add_matrix(H5::Group& group, const std::string& name, const H5::DataType& type,
                       const H5::PredType& memory_type, const void* memory, hsize_t rows,
                       hsize_t width, const Label& label);
/// One number, as a list of one.
void add_number(H5::Group& group, const std::string& name, double value, const Label& label);

}  // namespace thawline::solver::history
