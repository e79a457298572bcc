#pragma once

#include <cstdint>
#include <string>

#include "cases/read_case.hpp"

namespace thawline::random_cases {

/// What a drawn case has: columns, a section with mixed air, one whose air conducts, or what the
/// program chooses.
enum class Kind { columns, section, section_with_air, chosen };

/// A case as a user would write it.
struct DrawnCase {
  std::string name;  ///< "case-SEED-INDEX", of its files
  Kind kind = Kind::columns;
  std::string yaml;   ///< the case file
  std::string trace;  ///< the CSV file NAME.csv it refers to; empty when there is none
};

/// Draws case `index` of `seed`: any box, coolants, payloads, surroundings, happenings and limits
/// that the reader takes. A section may still be refused where its packs do not lie beside each
/// other. Throws cases::InputError where the draw is no valid case.
[[nodiscard]] DrawnCase draw_case(std::uint64_t seed, std::uint64_t index, Kind kind,
                                  const cases::MaterialShelf& shelf);

/// Reads it as `thawline run` would. Throws cases::InputError.
[[nodiscard]] cases::Case read(const DrawnCase& drawn, const cases::MaterialShelf& shelf);

}  // namespace thawline::random_cases
