#include "solver/linear/conductance_system.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "solver/linear/dot.hpp"
#include "solver/linear/grid_multigrid.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

/// All unknowns as they are, factored.
struct ConductanceSystem::Direct {
  Direct(int unknowns, const std::vector<std::pair<int, int>>& pairs)
      : diagonal(at(unknowns)), factors(0, {}) {
    std::map<std::pair<int, int>, std::size_t> known;
    std::vector<std::pair<int, int>> once;
    for (const auto& [a, b] : pairs) {
      if (a < 0 || b < 0 || a == b) {
        place.push_back(nowhere);
        continue;
      }
      const std::pair<int, int> ends{std::min(a, b), std::max(a, b)};
      const auto [found, is_new] = known.emplace(ends, once.size());
      if (is_new) once.push_back(ends);
      place.push_back(found->second);
    }
    conductance.resize(once.size());
    factors = {unknowns, std::move(once)};
  }

  bool factor(const std::vector<std::pair<int, int>>& pairs, const std::vector<double>& g,
              const std::vector<double>& own, const std::vector<char>& fixed) {
    std::copy(own.begin(), own.end(), diagonal.begin());
    std::fill(conductance.begin(), conductance.end(), 0.0);
    for (std::size_t k = 0; k < pairs.size(); ++k) {
      const auto [a, b] = pairs[k];
      if (a == b) continue;
      if (a >= 0) diagonal[at(a)] += g[k];
      if (b >= 0) diagonal[at(b)] += g[k];
      if (place[k] == nowhere || fixed[at(a)] != 0 || fixed[at(b)] != 0) continue;
      conductance[place[k]] += g[k];
    }
    for (std::size_t i = 0; i < diagonal.size(); ++i) {
      if (fixed[i] != 0 || diagonal[i] <= 0) diagonal[i] = 1;
    }
    factors.factor(diagonal, conductance);
    return factors.good();
  }

  static constexpr std::size_t nowhere = static_cast<std::size_t>(-1);
  std::vector<std::size_t> place;  ///< by pair
  std::vector<double> diagonal, conductance;
  SparseFactors factors;
};

/// Without its surfaces, by conjugate gradients.
struct ConductanceSystem::Iterative {
  Iterative(int unknowns, const std::vector<std::pair<int, int>>& pairs, const TensorGrid& grid,
            int surfaces_from)
      : stars(unknowns, pairs, grid, surfaces_from), multigrid(stars) {
    by_joint.assign(stars.joints().size(), 0);
    for (auto* values : {&b, &x, &r, &z, &p, &q}) {
      values->assign(at(stars.cells() + stars.others()), 0);
    }
  }

  StarElimination stars;
  GridMultigrid multigrid;
  std::vector<double> other_diagonal, by_joint;
  std::vector<double> b, x, r, z, p, q;
};

ConductanceSystem::~ConductanceSystem() = default;

ConductanceSystem::ConductanceSystem(int unknowns, std::vector<std::pair<int, int>> pairs,
                                     const TensorGrid& grid, int surfaces_from, LinearMethod method)
    : surfaces_from_(surfaces_from),
      pairs_(std::move(pairs)),
      sums_(at(unknowns - surfaces_from), 0) {
  for (std::size_t k = 0; k < pairs_.size(); ++k) {
    if (std::max(pairs_[k].first, pairs_[k].second) >= surfaces_from) at_surface_.push_back(k);
  }
  const bool is_direct =
      method == LinearMethod::by_size ? unknowns <= direct_up_to : method == LinearMethod::direct;
  if (is_direct) {
    direct_ = std::make_unique<Direct>(unknowns, pairs_);
  } else {
    iterative_ = std::make_unique<Iterative>(unknowns, pairs_, grid, surfaces_from);
  }
}

void ConductanceSystem::set(const std::vector<double>& conductances,
                            const std::vector<double>& diagonal, const std::vector<char>& fixed) {
  factored_ = false;
  conductances_ = &conductances;
  diagonal_ = &diagonal;
  fixed_ = &fixed;
  std::fill(sums_.begin(), sums_.end(), 0.0);
  for (const std::size_t k : at_surface_) {
    const auto [a, b] = pairs_[k];
    if (a == b) continue;
    if (a >= surfaces_from_) sums_[at(a - surfaces_from_)] += conductances[k];
    if (b >= surfaces_from_) sums_[at(b - surfaces_from_)] += conductances[k];
  }
}

bool ConductanceSystem::solve(const std::vector<double>& b, std::vector<double>& x,
                              double tolerance) {
  ++solves_;
  if (direct_) {
    if (!factored_) good_ = direct_->factor(pairs_, *conductances_, *diagonal_, *fixed_);
    factored_ = true;
    if (!good_) return false;
    x = b;
    direct_->factors.solve(x.data());
    return true;
  }
  Iterative& it = *iterative_;
  if (!factored_) {
    it.stars.reduce(*conductances_, *diagonal_, *fixed_, it.multigrid.finest(), it.other_diagonal,
                    it.by_joint);
    good_ = it.multigrid.set(it.other_diagonal, it.by_joint);
    factored_ = true;
  }
  if (!good_) return false;
  it.stars.gather(b, it.b);
  if (!iterate(tolerance)) return false;
  it.stars.spread(it.x, x);
  return true;
}

bool ConductanceSystem::iterate(double tolerance) {
  constexpr int most_iterations = 200;
  Iterative& s = *iterative_;
  const int n = static_cast<int>(s.b.size());
  std::fill(s.x.begin(), s.x.end(), 0.0);
  s.r = s.b;
  const double size = std::sqrt(dot(s.b, s.b));
  if (!std::isfinite(size)) return false;
  if (size == 0) return true;
  double old_rz = 0;
  for (int i = 0; i < most_iterations; ++i) {
    s.multigrid.apply(s.r, s.z);
    ++iterations_;
    const double rz = dot(s.r, s.z);
    const double beta = i == 0 ? 0 : rz / old_rz;
    for_all(n, [&](int k) { s.p[at(k)] = s.z[at(k)] + beta * s.p[at(k)]; });
    s.multigrid.multiply(s.p, s.q);
    const double pq = dot(s.p, s.q);
    if (!(pq > 0)) return false;
    const double alpha = rz / pq;
    for_all(n, [&](int k) {
      s.x[at(k)] += alpha * s.p[at(k)];
      s.r[at(k)] -= alpha * s.q[at(k)];
    });
    old_rz = rz;
    if (std::sqrt(dot(s.r, s.r)) <= tolerance * size) return true;
  }
  return false;
}

}  // namespace thawline::solver
