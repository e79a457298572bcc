#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"

namespace thawline::cases {

/// How finely a case that does not say so is computed, and why.
struct DetailChoice {
  Detail detail = Detail::one_d;
  bool fits = true;  ///< false: a section would be better and cannot be laid out
  std::string why;   ///< one clause, such as "'gel' lies on a wall"
};

/// K, of a section that was chosen here where the case names no accuracy: with it coolants are
/// spent within 2 % of when they are in the finest section (validation, "The default detail").
inline constexpr double accuracy_of_chosen_section = 0.2;

/// How far (m) the inner layer of the side wall carries heat along it before the air has taken it
/// up: the fin length √(k t/h), with h about 5 W/m2/K.
[[nodiscard]] double reach_along_sides(const Box& box);

/// The detail of a case that names none, from its box, its coolants and what it says of a section:
/// the section where a pack lies on a wall or loose pieces touch one, where a metal liner carries
/// heat along the walls or the air is to conduct, as columns have no ends and take parts of a wall
/// for separate; columns where nothing of this is, or where the packs cannot be laid out.
[[nodiscard]] DetailChoice choose_detail(const Case& c);

/// The detail of cases that will be compared, each chosen alone: the section if any wants it and
/// all can have it, else columns for all.
[[nodiscard]] DetailChoice common_detail(const std::vector<DetailChoice>& choices);

/// How a case file names it.
[[nodiscard]] const char* word_of(Detail detail);

/// Sets detail, accuracy (unless the case names it) and the reason. Nothing else decides this.
void settle_detail(Case& c, const DetailChoice& choice, bool names_accuracy);

/// "Detail: 2d, accuracy 0.2 K ('gel' lies on a wall)"; `why` may be empty.
[[nodiscard]] std::string detail_line(Detail detail, std::optional<double> accuracy,
                                      const std::string& why);

}  // namespace thawline::cases
