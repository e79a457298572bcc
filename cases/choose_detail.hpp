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

/// K, of a section that was chosen here where the case names no accuracy: with it, hold times are
/// within some 1 % of the finest section (validation, "Default detail").
inline constexpr double accuracy_of_chosen_section = 0.2;

/// The detail of a case that names none, from its box, its coolants and what it says of a section:
/// the section where a pack lies on a wall or the air is to conduct, as columns take such packs for
/// plates without ends; columns where nothing does, or where the packs cannot be laid out.
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
