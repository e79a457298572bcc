#pragma once

#include <cstdint>
#include <string>

#include "cases/plan.hpp"

namespace thawline::solver::batch {

/// What tells a case from the others, but for what was drawn: "foam 30 mm, loose ice". Empty where
/// nothing varies.
[[nodiscard]] std::string case_label(const cases::Plan& plan, std::uint64_t number);

/// The same but for the contender: "foam 30 mm".
[[nodiscard]] std::string varied_label(const cases::Plan& plan, std::uint64_t number);

/// The file name of a case's history, its number and its label, or the plan's title where
/// nothing varies: "07-foam-30-mm-loose-ice.h5".
[[nodiscard]] std::string history_name(const cases::Plan& plan, std::uint64_t number);

/// The same for samples: "07-foam-30-mm-loose-ice-sample-3.h5". No name is longer than this.
inline constexpr std::size_t longest_history_name = 100;

/// Settings of a case, with a title that carries its label.
[[nodiscard]] std::vector<cases::Setting> titled_settings(const cases::Plan& plan,
                                                          const std::string& title,
                                                          std::uint64_t number);

}  // namespace thawline::solver::batch
