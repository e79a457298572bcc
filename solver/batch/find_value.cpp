#include "solver/batch/find_value.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <map>
#include <utility>
#include <vector>

namespace thawline::solver::batch {

namespace {

constexpr int first_looks = 9;

class Search {
 public:
  Search(const cases::Sought& sought, const std::function<Look(double)>& look)
      : sought_(sought), look_(look) {}

  Found run();

 private:
  [[nodiscard]] const Look& at(double value);
  [[nodiscard]] bool holds(const Look& look) const {
    return !look.failed() && look.held >= sought_.hold;
  }
  /// Neighbours of which one holds and one does not, in order from `from` on; those with failed
  /// cases between them only when `across_failed`.
  [[nodiscard]] std::vector<std::pair<double, double>> crossings(bool across_failed = false) const;
  void look_at_edges();
  void narrow_edge(double good, double bad);
  void narrow(std::pair<double, double> bracket);
  [[nodiscard]] const Look* best() const;
  void climb();

  const cases::Sought& sought_;
  const std::function<Look(double)>& look_;
  std::map<double, Look> looks_;
  Found out_;
};

const Look& Search::at(double value) {
  const auto known = looks_.find(value);
  if (known != looks_.end()) return known->second;
  return looks_.emplace(value, look_(value)).first->second;
}

std::vector<std::pair<double, double>> Search::crossings(bool across_failed) const {
  std::vector<std::pair<double, double>> found;
  const Look* last = nullptr;
  for (const auto& [value, look] : looks_) {
    if (look.failed()) {
      if (!across_failed) last = nullptr;
      continue;
    }
    if (last != nullptr && holds(*last) != holds(look)) found.emplace_back(last->value, value);
    last = &look;
  }
  if (sought_.from > sought_.to) std::reverse(found.begin(), found.end());
  return found;
}

/// Halves the way from a value that can be computed to one that cannot.
void Search::narrow_edge(double good, double bad) {
  while (std::abs(bad - good) > sought_.to_within) {
    const double middle = (good + bad) / 2;
    (at(middle).failed() ? bad : good) = middle;
  }
  out_.edge = at(bad);
  out_.edge.value = good;
}

void Search::look_at_edges() {
  std::vector<std::pair<double, double>> edges;
  for (auto right = std::next(looks_.begin()); right != looks_.end(); ++right) {
    const auto left = std::prev(right);
    if (left->second.failed() == right->second.failed()) continue;
    edges.emplace_back(left->first, right->first);
    if (left->second.failed()) std::swap(edges.back().first, edges.back().second);
  }
  for (const auto& [good, bad] : edges) narrow_edge(good, bad);
}

void Search::narrow(std::pair<double, double> bracket) {
  // A case that fails inside counts as one that does not hold.
  const auto excess = [this](double value) {
    const Look& look = at(value);
    return (look.failed() ? 0 : look.held) - sought_.hold;
  };
  const auto near_enough = [this](double a, double b) {
    return std::abs(b - a) <= sought_.to_within;
  };
  const auto [low, high] = bracket;
  const double before = std::abs(excess(high) - excess(low));
  std::uintmax_t iterations = 200;
  const auto last = boost::math::tools::toms748_solve(excess, low, high, excess(low), excess(high),
                                                      near_enough, iterations);
  out_.at = at(last.first);
  out_.beside = at(last.second);
  if (!holds(out_.at)) std::swap(out_.at, out_.beside);
  const double after = std::abs(out_.at.held - out_.beside.held);
  const double share = std::abs(last.second - last.first) / (high - low);
  const bool steep = after > 0.01 * sought_.hold && after > 20 * before * share;
  out_.ending = steep || out_.beside.failed() ? Ending::jump : Ending::found;
}

/// Nothing holds for as long as wanted, or everything does: the nearest to the wanted time. Null
/// when all looks failed.
const Look* Search::best() const {
  const Look* best = nullptr;
  for (const auto& [value, look] : looks_) {
    if (look.failed()) continue;
    if (best == nullptr || (holds(look) ? look.held < best->held : look.held > best->held)) {
      best = &look;
    }
  }
  return best;
}

/// The hold time may have a peak or a dip between the looks: goes there from the best of them.
void Search::climb() {
  const Look* top = best();
  if (top == nullptr) return;
  const double sign = holds(*top) ? 1 : -1;
  const auto middle = looks_.find(top->value);
  const auto left = middle == looks_.begin() ? middle : std::prev(middle);
  const auto right = std::next(middle) == looks_.end() ? middle : std::next(middle);
  const auto height = [&](double value) {
    const Look& look = at(value);
    return sign * (look.failed() ? (sign > 0 ? 2 : 0) * sought_.hold : look.held);
  };
  constexpr int bits = 12;
  std::uintmax_t iterations = 20;
  (void)boost::math::tools::brent_find_minima(height, left->first, right->first, bits, iterations);
}

Found Search::run() {
  for (int i = 0; i < first_looks; ++i) {
    const double last = first_looks - 1;
    (void)at((sought_.from * (last - i) + sought_.to * i) / last);
  }
  out_.from = at(sought_.from);
  out_.to = at(sought_.to);
  auto found = crossings();
  if (found.empty()) {
    look_at_edges();
    found = crossings();
  }
  if (found.empty()) found = crossings(true);
  if (found.empty()) {
    climb();
    found = crossings();
  }
  out_.crossings = static_cast<int>(found.size());
  if (!found.empty()) {
    narrow(found.front());
  } else if (const Look* nearest = best()) {
    out_.at = *nearest;
    out_.ending = holds(*nearest) ? Ending::too_long : Ending::too_short;
  } else {
    out_.at = out_.from;
  }
  out_.looks = static_cast<int>(looks_.size());
  return out_;
}

}  // namespace

Found find_value(const cases::Sought& sought, const std::function<Look(double)>& look) {
  return Search(sought, look).run();
}

}  // namespace thawline::solver::batch
