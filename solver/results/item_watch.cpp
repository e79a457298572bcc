#include "solver/results/item_watch.hpp"

#include <algorithm>

#include "solver/results/crossing.hpp"

namespace thawline::solver {

ItemWatch::ItemWatch(const mesh::Network& network, int index)
    : item_(&network.items[static_cast<std::size_t>(index)]), index_(index) {}

double ItemWatch::to_melt(const StepView& view, double time) const {
  double most = -1e30;
  for (const int cell : item_->cells) {
    most = std::max(most, view.balance->missing_to_liquid(view.enthalpy(cell, time), cell));
  }
  return most;
}

void ItemWatch::note_coldest(const StepView& view) {
  for (const int cell : item_->cells) {
    const double t = view.balance->thermal_state(view.enthalpy(cell, view.end), cell).temperature;
    if (!result_.coldest || t < *result_.coldest) result_.coldest = t;
  }
}

void ItemWatch::at_instant(const StepView& view) {
  if (view.balance->present(index_)) note_coldest(view);
  if (!view.balance->present(index_) || !view.balance->curve(item_->cells.front()).melts()) return;
  const bool liquid = to_melt(view, view.end) <= 0;
  if (!was_liquid_ && !was_solid_) result_.started_liquid = liquid;
  was_liquid_ = was_liquid_ || liquid;
  was_solid_ = was_solid_ || !liquid;
}

void ItemWatch::after_step(const StepView& view) {
  if (view.balance->present(index_)) note_coldest(view);
  if (!view.balance->present(index_) || !view.balance->curve(item_->cells.front()).melts()) return;
  const auto missing = [&](double time) { return to_melt(view, time); };
  const double at_begin = missing(view.begin);
  const double at_end = missing(view.end);
  if (was_solid_ && result_.spent_at < 0 && at_begin > 0 && at_end <= 0) {
    result_.spent_at = crossing(missing, view.begin, view.end);
  }
  if (was_liquid_ && result_.freezing_at < 0 && at_begin <= 0 && at_end > 0) {
    result_.freezing_at = crossing(missing, view.begin, view.end);
  }
  was_liquid_ = was_liquid_ || at_end <= 0;
  was_solid_ = was_solid_ || at_end > 0;
  result_.liquid_fraction = item_liquid_fraction(view, *item_, index_, view.end);
}

}  // namespace thawline::solver
