#include "solver/linear/star_elimination.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "solver/at.hpp"
#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

constexpr int outside = -1;

/// Neighbours of the surfaces, by unknown less `from`.
std::vector<std::set<int>> neighbours_of(const std::vector<std::pair<int, int>>& pairs,
                                         int unknowns, int from) {
  std::vector<std::set<int>> found(at(unknowns - from));
  for (const auto& [a, b] : pairs) {
    if (a == b) continue;
    if (a >= from) found[at(a - from)].insert(b);
    if (b >= from) found[at(b - from)].insert(a);
  }
  return found;
}

}  // namespace

class StarElimination::Builder {
 public:
  Builder(StarElimination& made, int unknowns, const std::vector<std::pair<int, int>>& pairs,
          const TensorGrid& grid, int surfaces_from)
      : made_(made), pairs_(pairs), grid_(grid), unknowns_(unknowns), from_(surfaces_from) {}

  void build() {
    made_.pattern_ = grid_of(grid_.columns, grid_.rows, grid_.used);
    made_.cells_ = made_.pattern_.cells;
    neighbours_ = neighbours_of(pairs_, unknowns_, from_);
    choose();
    number();
    count_ = 3 * at(made_.cells_) + at(made_.others_);
    for (int s = 0; s < stars(); ++s) made_.stars_.push_back({made_.cells_ + made_.others_ + s});
    arms_.resize(made_.stars_.size());
    for (const auto& [a, b] : pairs_) made_.target_.push_back(pair_value(a, b));
    for (int s = 0; s < stars(); ++s) make_polygon(s);
    finish();
  }

 private:
  [[nodiscard]] int stars() const { return static_cast<int>(order_.size()); }
  [[nodiscard]] bool in_grid(int unknown) const {
    return unknown >= grid_.first && unknown < grid_.first + grid_.count;
  }
  [[nodiscard]] bool is_star(int unknown) const {
    return unknown >= from_ && star_[at(unknown - from_)] != 0;
  }

  /// A surface stays when it touches several cells or surfaces, or another surface whose cell is no
  /// neighbour of its own.
  void choose() {
    star_.assign(neighbours_.size(), 0);
    for (std::size_t s = 0; s < star_.size(); ++s) {
      const auto cells = std::count_if(neighbours_[s].begin(), neighbours_[s].end(),
                                       [&](int n) { return in_grid(n); });
      star_[s] = cells == 1 ? 1 : 0;
    }
    bool changed = true;
    while (changed) {
      changed = false;
      for (std::size_t s = 0; s < star_.size(); ++s) {
        if (star_[s] == 0) continue;
        int others = 0;
        bool beside = true;
        for (const int n : neighbours_[s]) {
          if (!is_star(n)) continue;
          ++others;
          beside = beside && are_beside(cell_of(s), cell_of(at(n - from_)));
        }
        if (others <= 1 && beside) continue;
        star_[s] = 0;
        changed = true;
      }
    }
  }

  [[nodiscard]] int cell_of(std::size_t surface) const {
    return *std::find_if(neighbours_[surface].begin(), neighbours_[surface].end(), [&](int n) {
      return in_grid(n);
    }) - grid_.first;
  }

  [[nodiscard]] bool are_beside(int a, int b) const {
    const GridMatrix& grid = made_.pattern_;
    const int low = std::min(a, b);
    const int high = std::max(a, b);
    if (low == high) return false;
    return grid.up[at(low)] == high || is_next(low, high);
  }
  [[nodiscard]] bool is_next(int low, int high) const {
    const GridMatrix& grid = made_.pattern_;
    return high == low + 1 && grid.column[at(high)] == grid.column[at(low)] + 1;
  }

  void number() {
    made_.number_.assign(at(unknowns_), 0);
    for (int u = 0; u < unknowns_; ++u) {
      if (in_grid(u)) {
        made_.number_[at(u)] = u - grid_.first;
      } else if (is_star(u)) {
        order_.push_back(u);
      } else {
        made_.number_[at(u)] = made_.cells_ + made_.others_++;
      }
    }
    for (int s = 0; s < stars(); ++s) {
      made_.number_[at(order_[at(s)])] = made_.cells_ + made_.others_ + s;
    }
  }

  std::size_t pair_value(int a, int b) {
    if (a == b) return value_between(outside, outside);
    const auto number = [&](int u) { return u < 0 ? outside : made_.number_[at(u)]; };
    return value_between(number(a), number(b));
  }

  /// Where the conductance between two numbers is summed.
  std::size_t value_between(int a, int b) {
    const int left = made_.cells_ + made_.others_;
    const int low = std::min(a, b);
    const int high = std::max(a, b);
    if (high == outside) return nowhere;
    if (high >= left) {
      // A surface: an arm of the one that is eliminated first.
      const int star = (low >= left ? low : high) - left;
      const int end = low >= left ? high : low;
      const auto [found, is_new] = arms_[at(star)].emplace(end, count_);
      if (is_new) ++count_;
      return found->second;
    }
    if (low == outside) return 2 * at(made_.cells_) + at(high);
    if (high < made_.cells_) return at(low) + (is_next(low, high) ? 0 : at(made_.cells_));
    auto& sums = low < made_.cells_ ? border_ : joints_;
    const auto [found, is_new] = sums.emplace(std::pair{low, high}, count_);
    if (is_new) ++count_;
    return found->second;
  }

  /// The arms of a star are all known once those before it have their polygons.
  void make_polygon(int s) {
    Star& star = made_.stars_[at(s)];
    star.first = made_.arms_.size();
    for (const auto& [end, value] : arms_[at(s)]) made_.arms_.push_back({end, value});
    star.count = made_.arms_.size() - star.first;
    star.polygon = made_.polygon_.size();
    for (std::size_t i = 0; i < star.count; ++i) {
      for (std::size_t j = i + 1; j < star.count; ++j) {
        made_.polygon_.push_back(
            value_between(made_.arms_[star.first + i].end, made_.arms_[star.first + j].end));
      }
    }
  }

  void finish() {
    for (const auto& [ends, value] : border_) {
      made_.pattern_.border.push_back({ends.first, ends.second - made_.cells_, 0});
      made_.border_value_.push_back(value);
    }
    for (const auto& [ends, value] : joints_) {
      made_.joints_.push_back({ends.first - made_.cells_, ends.second - made_.cells_});
      made_.joint_value_.push_back(value);
    }
    const auto last = [&](std::size_t& value) { value = value == nowhere ? count_ : value; };
    std::for_each(made_.target_.begin(), made_.target_.end(), last);
    std::for_each(made_.polygon_.begin(), made_.polygon_.end(), last);
    made_.value_.assign(count_ + 1, 0);
    std::vector<int> pairs_of(made_.value_.size(), 0);
    for (const std::size_t target : made_.target_) ++pairs_of[target];
    made_.only_pair_.assign(made_.value_.size(), -1);
    for (std::size_t k = 0; k < made_.target_.size(); ++k) {
      if (pairs_of[made_.target_[k]] == 1) {
        made_.only_pair_[made_.target_[k]] = static_cast<int>(k);
      } else {
        made_.shared_.push_back(k);
      }
    }
    made_.inverse_.assign(made_.stars_.size(), 0);
    made_.right_.assign(at(unknowns_), 0);
    made_.held_.assign(at(unknowns_), 0);
  }

  static constexpr std::size_t nowhere = static_cast<std::size_t>(-1);

  StarElimination& made_;
  const std::vector<std::pair<int, int>>& pairs_;
  const TensorGrid& grid_;
  int unknowns_, from_;
  std::vector<std::set<int>> neighbours_;
  std::vector<char> star_;
  std::vector<int> order_;
  std::vector<std::map<int, std::size_t>> arms_;
  std::map<std::pair<int, int>, std::size_t> border_, joints_;
  std::size_t count_ = 0;
};

StarElimination::StarElimination(int unknowns, const std::vector<std::pair<int, int>>& pairs,
                                 const TensorGrid& grid, int surfaces_from) {
  Builder(*this, unknowns, pairs, grid, surfaces_from).build();
}

/// Sums the conductances, and those of the polygons of the surfaces taken out.
void StarElimination::sum_conductances(const std::vector<double>& conductances) {
  for_tasks(static_cast<int>(value_.size()), cells_, [&](int v) {
    const int pair = only_pair_[at(v)];
    value_[at(v)] = pair >= 0 ? conductances[at(pair)] : 0;
  });
  for (const std::size_t k : shared_) value_[target_[k]] += conductances[k];
  for (std::size_t s = 0; s < stars_.size(); ++s) {
    const Star& star = stars_[s];
    double sum = 0;
    for (std::size_t i = 0; i < star.count; ++i) sum += value_[arms_[star.first + i].value];
    inverse_[s] = sum > 0 ? 1 / sum : 0;
    std::size_t k = star.polygon;
    for (std::size_t i = 0; i < star.count; ++i) {
      const double share = value_[arms_[star.first + i].value] * inverse_[s];
      for (std::size_t j = i + 1; j < star.count; ++j) {
        value_[polygon_[k++]] += share * value_[arms_[star.first + j].value];
      }
    }
  }
}

/// Conductances between cells of the grid; what leads to a held one leads to the outside.
void StarElimination::reduce_grid(GridMatrix& a) {
  const auto n = at(cells_);
  double* own = value_.data() + 2 * n;
  const double* along_x = value_.data();
  const double* along_z = value_.data() + n;
  for_all(cells_, [&](int cell) {
    const auto c = at(cell);
    const auto up = at(a.up[c]);
    const auto down = at(a.down[c]);
    if (held_[c] != 0) {
      a.gx[c] = a.gz[c] = 0;
      return;
    }
    const bool next_held = along_x[c] > 0 && held_[c + 1] != 0;
    const bool up_held = held_[up] != 0;
    a.gx[c] = next_held ? 0 : along_x[c];
    a.gz[c] = up_held ? 0 : along_z[c];
    if (next_held) own[c] += along_x[c];
    if (up_held) own[c] += along_z[c];
    if (c > 0 && held_[c - 1] != 0) own[c] += along_x[c - 1];
    if (held_[down] != 0) own[c] += along_z[down];
  });
}

void StarElimination::reduce(const std::vector<double>& conductances,
                             const std::vector<double>& diagonal, const std::vector<char>& fixed,
                             GridMatrix& a, std::vector<double>& other_diagonal,
                             std::vector<double>& by_joint) {
  sum_conductances(conductances);
  for_all(static_cast<int>(number_.size()), [&](int u) {
    held_[at(number_[at(u)])] = fixed[at(u)];
    right_[at(number_[at(u)])] = diagonal[at(u)];
  });
  reduce_grid(a);
  const auto n = at(cells_);
  double* own = value_.data() + 2 * n;
  const auto take = [&](std::size_t p, std::size_t q, double g) {
    if (held_[p] == 0 && held_[q] == 0) return g;
    if (held_[p] == 0) own[p] += g;
    if (held_[q] == 0) own[q] += g;
    return 0.0;
  };
  for (std::size_t b = 0; b < border_value_.size(); ++b) {
    auto& border = a.border[b];
    border.g = take(at(border.cell), n + at(border.other), value_[border_value_[b]]);
  }
  other_diagonal.assign(at(others_), 0);
  for (std::size_t j = 0; j < joints_.size(); ++j) {
    const auto p = at(joints_[j].first);
    const auto q = at(joints_[j].second);
    by_joint[j] = take(n + p, n + q, value_[joint_value_[j]]);
    other_diagonal[p] += by_joint[j];
    other_diagonal[q] += by_joint[j];
  }
  for (const auto& border : a.border) other_diagonal[at(border.other)] += border.g;
  for_all(cells_, [&](int cell) {
    const auto c = at(cell);
    a.own[c] = held_[c] != 0 ? 0 : own[c] + right_[c];
    a.fixed[c] = held_[c];
  });
  for (std::size_t o = 0; o < at(others_); ++o) {
    const double d = other_diagonal[o] + own[n + o] + right_[n + o];
    other_diagonal[o] = held_[n + o] != 0 || d <= 0 ? 1 : d;
  }
}

void StarElimination::gather(const std::vector<double>& b, std::vector<double>& reduced) {
  const auto unknowns = static_cast<int>(number_.size());
  for_all(unknowns, [&](int u) { right_[at(number_[at(u)])] = b[at(u)]; });
  for (std::size_t s = 0; s < stars_.size(); ++s) {
    const Star& star = stars_[s];
    const double share = right_[at(star.number)] * inverse_[s];
    if (share == 0) continue;
    for (std::size_t i = star.first; i < star.first + star.count; ++i) {
      if (arms_[i].end >= 0) right_[at(arms_[i].end)] += share * value_[arms_[i].value];
    }
  }
  for_all(static_cast<int>(reduced.size()),
          [&](int i) { reduced[at(i)] = held_[at(i)] != 0 ? 0 : right_[at(i)]; });
}

void StarElimination::spread(const std::vector<double>& reduced, std::vector<double>& x) {
  // `right_` still holds what was gathered at the surfaces.
  std::copy(reduced.begin(), reduced.end(), right_.begin());
  for (std::size_t s = stars_.size(); s-- > 0;) {
    const Star& star = stars_[s];
    double sum = right_[at(star.number)];
    for (std::size_t i = star.first; i < star.first + star.count; ++i) {
      if (arms_[i].end >= 0) sum += value_[arms_[i].value] * right_[at(arms_[i].end)];
    }
    right_[at(star.number)] = sum * inverse_[s];
  }
  for_all(static_cast<int>(number_.size()), [&](int u) { x[at(u)] = right_[at(number_[at(u)])]; });
}

}  // namespace thawline::solver
