#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace thawline::solver::batch {

/// What a column holds. Words are a few fixed ones, kept as numbers in HDF5.
enum class Kind { number, whole, word, text };

/// One column of a table of cases.
struct Column {
  std::string path;       ///< such as "limits/drinks cold/hold_time": its dataset and its heading
  std::string units;      ///< UDUNITS-2 spelling, "1" for a plain number
  std::string long_name;  ///< in words
  Kind kind = Kind::number;
  std::vector<std::string> words;
  std::string role = {};    ///< of an input: "varied", "contender", "amount" or "drawn"
  std::size_t longest = 0;  ///< bytes of the longest text of a column of texts
};

/// A value that is not there: the fill value netCDF uses for doubles.
inline constexpr double blank = 9.9692099683868690e+36;

/// One row, by column: `texts` of the text columns, `numbers` of all others (whole numbers exact, a
/// word by its index).
struct Row {
  std::vector<double> numbers;
  std::vector<std::string> texts;
};

}  // namespace thawline::solver::batch
