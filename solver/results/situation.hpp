#pragma once

#include <array>
#include <vector>

#include "mesh/network.hpp"
#include "solver/march/march.hpp"

namespace thawline::solver {

/// What stands between contents and the frozen part of a coolant, in the order of the way.
enum class Resistance {
  contents,  ///< from what is watched to the air, or to where it touches the pack
  air,       ///< layers of air between the contents and the pack
  film,      ///< air film and long-wave exchange of the pack
  contact,   ///< where the contents touch the pack
  pack,      ///< what has melted of it, and its solid as far as that is colder
};
inline constexpr std::size_t resistances = 5;

/// How contents and coolants stood at one instant, read off the fields.
struct Situation {
  double time = -1;              ///< s; −1: never looked at
  double probe_temperature = 0;  ///< K, of the watched probe farthest past the limit
  double ambient = 0;            ///< K
  /// Solid share of the mass of all coolants in the box that melt; −1 where there is none.
  double frozen = -1;
  int coolant = -1;                ///< item that has the most frozen heat left; −1: none
  double coolant_frozen = 0;       ///< its own solid share
  double coolant_melting = 0;      ///< J/kg it takes up as it melts
  double front = 0;                ///< K, mean of its frozen part
  int coldest = -1;                ///< coolant in the box that is coldest on average; −1: none
  double coldest_temperature = 0;  ///< K
  double given = 0;         ///< J that the payloads in the box have given up since their start
  double taken = 0;         ///< J that the coolants in the box have taken up since theirs
  bool by_contact = false;  ///< more heat came to `coolant` from what touches it than from the air
  /// K by `Resistance` on that way; their sum is the way from the probe to the front.
  std::array<double, resistances> drops{};

  /// The largest drop of all.
  [[nodiscard]] Resistance largest() const;
};

/// Tells situations within steps: remembers with what the cells began.
class SituationReader {
 public:
  /// Borrows the network.
  explicit SituationReader(const mesh::Network& network) : network_(&network) {}
  /// To be called at the start of the march; takes note of it.
  void begin(const StepView& view);
  /// The situation at `time` of a step, for a probe that is at `probe_temperature` (K) then. The
  /// ambient is that of the step's end.
  [[nodiscard]] Situation look(const StepView& view, double time, double probe_temperature) const;

 private:
  void look_at_coolants(const StepView& view, double time, Situation& out) const;
  void look_at_the_way(const StepView& view, double time, Situation& out) const;

  const mesh::Network* network_;
  std::vector<double> start_;  ///< J by cell
};

}  // namespace thawline::solver
