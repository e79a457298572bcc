#include "solver/batch/column_path.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace thawline::solver::batch {

std::string path_word(std::string name, std::set<std::string>& taken) {
  std::replace(name.begin(), name.end(), '/', '|');
  if (name == "." || name == "..") name += " ";
  std::string word = name;
  for (int i = 2; !taken.insert(word).second; ++i) word = fmt::format("{} ({})", name, i);
  return word;
}

}  // namespace thawline::solver::batch
