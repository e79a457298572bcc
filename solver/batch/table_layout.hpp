#pragma once

#include <H5Cpp.h>

#include "solver/batch/column.hpp"
#include "solver/history/h5_file.hpp"

/// The layout of TABLE.md as HDF5 types, for its writer and its reader.
namespace thawline::solver::batch {

inline constexpr int table_version = 4;

/// A whole number or word that is not there.
inline constexpr double blank_whole = -1;

/// A text is filled up to the column's longest.
[[nodiscard]] inline H5::DataType stored_type(const Column& column) {
  if (column.kind == Kind::number) return H5::PredType::IEEE_F64LE;
  if (column.kind == Kind::whole) return H5::PredType::STD_I64LE;
  if (column.kind == Kind::word) return H5::PredType::STD_I8LE;
  return history::text_type(column.longest);
}

}  // namespace thawline::solver::batch
