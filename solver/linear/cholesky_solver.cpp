#include "solver/linear/cholesky_solver.hpp"

#include <algorithm>
#include <map>

#include "solver/at.hpp"

namespace thawline::solver {

CholeskySolver::CholeskySolver(int unknowns, std::vector<std::pair<int, int>> pairs)
    : pairs_(std::move(pairs)), diagonal_(at(unknowns)), factors_(0, {}) {
  std::map<std::pair<int, int>, std::size_t> known;
  std::vector<std::pair<int, int>> once;
  for (const auto& [a, b] : pairs_) {
    if (a < 0 || b < 0 || a == b) {
      place_.push_back(nowhere);
      continue;
    }
    const std::pair<int, int> ends{std::min(a, b), std::max(a, b)};
    const auto [found, is_new] = known.emplace(ends, once.size());
    if (is_new) once.push_back(ends);
    place_.push_back(found->second);
  }
  conductance_.resize(once.size());
  factors_ = {unknowns, once};
}

bool CholeskySolver::prepare(const std::vector<double>& conductances,
                             const std::vector<double>& diagonal, const std::vector<char>& held) {
  std::copy(diagonal.begin(), diagonal.end(), diagonal_.begin());
  std::fill(conductance_.begin(), conductance_.end(), 0.0);
  for (std::size_t k = 0; k < pairs_.size(); ++k) {
    const auto [a, b] = pairs_[k];
    if (a == b) continue;
    if (a >= 0) diagonal_[at(a)] += conductances[k];
    if (b >= 0) diagonal_[at(b)] += conductances[k];
    if (place_[k] == nowhere || held[at(a)] != 0 || held[at(b)] != 0) continue;
    conductance_[place_[k]] += conductances[k];
  }
  for (std::size_t i = 0; i < diagonal_.size(); ++i) {
    if (held[i] != 0 || diagonal_[i] <= 0) diagonal_[i] = 1;
  }
  factors_.factor(diagonal_, conductance_);
  return factors_.good();
}

bool CholeskySolver::solve(const std::vector<double>& b, std::vector<double>& x,
                           double /*tolerance*/) {
  x = b;
  factors_.solve(x.data());
  return true;
}

}  // namespace thawline::solver
