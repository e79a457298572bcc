#pragma once

#include <optional>

#include "solver/results/limit_watch.hpp"

namespace thawline::solver {

/// What became of one coolant or payload. Times in s, `never` where it did not happen.
struct ItemResult {
  double spent_at = never;      ///< all of it liquid
  double freezing_at = never;   ///< first of it below its freezing point, after having been liquid
  double liquid_fraction = -1;  ///< at the end
  bool started_liquid = true;   ///< wholly liquid when it came into the box
  std::optional<double> coldest;  ///< K, of its contents while in the box
};

/// Follows one item through the march.
class ItemWatch {
 public:
  ItemWatch(const mesh::Network& network, int index);

  void at_instant(const StepView& view);
  void after_step(const StepView& view);
  [[nodiscard]] const ItemResult& result() const { return result_; }

 private:
  /// Takes note of the coldest of its cells at the end of a view.
  void note_coldest(const StepView& view);
  /// Enthalpy missing until the last cell is liquid, J/kg; negative when all is.
  [[nodiscard]] double to_melt(const StepView& view, double time) const;
  const mesh::Item* item_;
  int index_;
  ItemResult result_;
  bool was_liquid_ = false;
  bool was_solid_ = false;
};

}  // namespace thawline::solver
