#pragma once

#include <H5Cpp.h>

#include "solver/batch/column.hpp"

/// The layout of TABLE.md as HDF5 types, for its writer and its reader.
namespace thawline::solver::batch {

inline constexpr int table_version = 2;

/// A whole number or word that is not there.
inline constexpr double blank_whole = -1;

[[nodiscard]] inline H5::DataType stored_type(Kind kind) {
  if (kind == Kind::number) return H5::PredType::IEEE_F64LE;
  if (kind == Kind::whole) return H5::PredType::STD_I64LE;
  if (kind == Kind::word) return H5::PredType::STD_I8LE;
  H5::StrType text(H5::PredType::C_S1, H5T_VARIABLE);
  text.setCset(H5T_CSET_UTF8);
  return text;
}

}  // namespace thawline::solver::batch
