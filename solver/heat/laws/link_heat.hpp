#pragma once

namespace thawline::solver {

/// Heat along a link at the temperatures T_a, T_b of its ends (K), as every law gives it: the flow
/// q from a to b (W), ∂q/∂T_a and ∂q/∂T_b (W/K).
struct LinkHeat {
  double q = 0;
  double by_a = 0, by_b = 0;
};

/// Two ways side by side.
[[nodiscard]] inline LinkHeat operator+(const LinkHeat& one, const LinkHeat& other) {
  return {one.q + other.q, one.by_a + other.by_a, one.by_b + other.by_b};
}

/// A share of a link.
[[nodiscard]] inline LinkHeat operator*(double share, const LinkHeat& whole) {
  return {share * whole.q, share * whole.by_a, share * whole.by_b};
}

}  // namespace thawline::solver
