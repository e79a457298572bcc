#pragma once

#include "cases/case.hpp"
#include "cases/entry.hpp"
#include "cases/read_material.hpp"

namespace thawline::cases {

/// Reads one entry of `coolant`; `box` serves the geometry checks. Throws InputError.
[[nodiscard]] Coolant read_coolant(const Entry& entry, const MaterialShelf& shelf, const Box& box);

/// Reads one entry of `payload`, which may stand on one of the `coolants`. Throws InputError.
[[nodiscard]] Payload read_payload(const Entry& entry, const MaterialShelf& shelf, const Box& box,
                                   const std::vector<Coolant>& coolants);

}  // namespace thawline::cases
