#pragma once

#include <functional>
#include <string>
#include <vector>

namespace thawline::cases {

/// What a fit learnt, as its file holds it (solver/trial/TRIAL.md): values with a joint normal
/// spread on their natural scales.
struct FittedValues {
  std::vector<std::string> names, paths, units;
  std::vector<char> shared;               ///< 0: a record's own, of no use elsewhere
  std::vector<char> logarithmic;          ///< the natural scale is the logarithm
  std::vector<double> centre;             ///< natural scale
  std::vector<double> from, to;           ///< bounds in `units`
  std::vector<std::vector<double>> root;  ///< rows of the lower triangle that makes draws
};

/// Reads such a file. Throws InputError.
using FittedReader = std::function<FittedValues(const std::string& file)>;

}  // namespace thawline::cases
