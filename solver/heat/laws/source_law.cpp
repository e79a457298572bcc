#include "solver/heat/laws/source_law.hpp"

#include <algorithm>
#include <iterator>

namespace thawline::solver {

namespace {

/// W. On the stretch between two rows in which the step began, so that a step that ends where the
/// schedule jumps still sees the heat before the jump.
double scheduled(const mesh::Source& source, const Conditions& conditions) {
  const auto& rows = source.rows;
  const auto next =
      std::upper_bound(rows.begin(), rows.end(), conditions.since,
                       [](double time, const mesh::Source::Row& row) { return time < row.time; });
  if (next == rows.begin()) return rows.front().watt;
  const auto row = std::prev(next);
  if (source.stepwise || next == rows.end()) return row->watt;
  const double share = (conditions.time - row->time) / (next->time - row->time);
  return row->watt + share * (next->watt - row->watt);
}

}  // namespace

SourceHeat source_heat(const mesh::Source& source, double temperature,
                       const Conditions& conditions) {
  const double watt = scheduled(source, conditions);
  if (source.law == mesh::SourceLaw::given) return {watt, 0};
  const double band = source.off_from - source.full_up_to;
  const double share = (source.off_from - temperature) / band;
  if (share <= 0) return {};
  if (share >= 1) return {watt, 0};
  return {watt * share, -watt / band};
}

}  // namespace thawline::solver
