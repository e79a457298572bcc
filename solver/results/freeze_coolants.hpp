#pragma once

#include "cases/case.hpp"

namespace thawline::solver {

/// What a coolant is like as it comes out of a freezer.
struct Frozen {
  double enthalpy = 0;     ///< J/kg, mean
  double liquid = 0;       ///< share still liquid; 1 for what does not melt
  double temperature = 0;  ///< K, mean
  double core = 0;         ///< K, in the middle
};

/// Conduction through a slab of the freezing's thickness with its film on both faces, by the solver
/// itself: fronts, sensible heat and all. No supercooling. Throws std::runtime_error where it
/// cannot be solved.
[[nodiscard]] Frozen frozen_after(const cases::Material& material, const cases::Freezing& freezing,
                                  double liquid_mixing);

/// Works out the start of a coolant that comes from a freezer: the state that is the same all
/// through and holds the same heat. Does nothing to others, nor a second time.
void settle_start(cases::Coolant& coolant);

/// The same of all coolants, with a notice for each: how cold it comes out, and what is still
/// liquid. To be called before a network is built.
void settle_starts(cases::Case& c);

}  // namespace thawline::solver
